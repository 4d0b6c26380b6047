pub mod syntax;
