//! The one test binary: each module tests the whole compiler from one side.

mod fixtures;
