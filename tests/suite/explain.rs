//! What `cotter explain` says: pages of mistakes whose examples are compiled, and pages of all that the library declares.

mod mistakes;
