//! The spec that `cotter new` writes.

/// A commented spec called `name`, or why that is no name.
pub fn spec(name: &str) -> Result<String, String> {
    let good = name.chars().next().is_some_and(char::is_alphabetic)
        && name.chars().all(|it| it.is_alphanumeric() || it == '_');
    if !good {
        return Err(format!("`{name}` can't be a name: begin with a letter, go on with letters, digits and `_`"));
    }
    Ok(include_str!("starter.cotter").replace("NAME", name))
}
