//! What no page shows by itself and the tests look at all the same. The tests of this crate live in `tests`, since compiling it a
//! second time for its own takes minutes.
pub use crate::bench::scan::{Code, code_in, numbers};
pub use crate::config::is_secure;
pub use crate::dispatches::view::{amount, due, gap};
pub use crate::images::file::{disposition, endings};
pub use crate::images::picture::fitted;
pub use crate::images::reception::plain_name;
pub use crate::people::limits::subscriber;
pub use crate::people::sign_in::{client_address, own_path};
pub use crate::plot::round_marks;
pub use crate::review::opinion_form::OpinionForm;
