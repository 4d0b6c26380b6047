//! The language server: the editors' protocol in, the same compile as on the command line, the protocol out.
//!
//! [`serve`] is the one door. The protocol's types stay in this room.

mod actions;
mod completion;
mod convert;
mod diagnostics;
mod documents;
mod folding;
mod formatting;
mod hover;
mod index;
mod inlay;
mod lens;
mod messages;
mod navigate;
mod rename;
mod requests;
mod server;
mod shelf;
mod symbols;
mod tokens;
mod workspace;

pub use server::serve;
