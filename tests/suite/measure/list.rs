//! The list.
