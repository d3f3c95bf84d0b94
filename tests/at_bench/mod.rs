//! The bench: its groups, scans, the tray, and the tablet that several people share.
mod groups;
mod pin;
mod tablet;
mod tray;
