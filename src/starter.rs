//! The spec that `cotter new` writes.

/// The starter as it stands among the specs, where it is checked like any other.
const STARTER: &str = include_str!("../specs/starter/starter.cotter");

/// A commented spec called `name`, or why that is no name.
pub fn spec(name: &str) -> Result<String, String> {
    let good = name.chars().next().is_some_and(char::is_alphabetic)
        && name.chars().all(|it| it.is_alphanumeric() || it == '_');
    if !good {
        return Err(format!("`{name}` can't be a name: begin with a letter, go on with letters, digits and `_`"));
    }
    if cotter::syntax::is_reserved(name) {
        return Err(format!("`{name}` is a word of the language: take another name"));
    }
    Ok(STARTER.replace("starter", name))
}
