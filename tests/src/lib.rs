//! Builders and drivers shared by the tests.
