//! What was typed, as one value and nothing else.

use crate::clean;
use crate::model::{Model, Type};
use crate::source::FileId;
use crate::syntax;
use crate::syntax::tree::{Item, ValueNode};

/// A value to be written.
pub(super) struct Typed {
    /// As it will stand in the text.
    pub text: String,
    /// What it is.
    pub node: ValueNode,
}

/// The value, for a fact of this type.
pub(super) fn typed(model: &Model, kind: &Type, raw: &str) -> Result<Typed, String> {
    let shown = clean::words(raw);
    if raw.chars().any(|it| clean::harmless(it) != it) {
        return Err(format!("`{shown}` is no value: it must be a single line, without characters that nobody sees"));
    }
    // A shell takes quotes away, so words may come without theirs.
    let bare = *kind == Type::Text && !raw.starts_with('"') && raw != "?";
    let text = if bare { format!("\"{}\"", raw.replace('\\', "\\\\").replace('"', "\\\"")) } else { raw.to_owned() };
    let head = "part a : b {\nc = ";
    let parsed = syntax::parse(FileId(u32::MAX), &format!("{head}{text}\n}}\n"));
    if let Some(mistake) = parsed.mistakes.first() {
        let help = mistake.help.first().map_or(String::new(), |it| format!(" ({})", clean::words(it)));
        let wanted = model.type_words(kind);
        return Err(format!("`{shown}` is no value: {}{help}; wanted is {wanted}", clean::words(&mistake.message)));
    }
    // Whatever else the text may hold would stand in the tree, or lie outside of the value.
    if let [Item::Part(part)] = parsed.tree.items.as_slice()
        && let [only] = part.facts.as_slice()
        && only.value.span.range() == (head.len()..head.len() + text.len())
    {
        return Ok(Typed { text, node: only.value.node.clone() });
    }
    Err(format!("`{shown}` is more than one value: wanted is {}", model.type_words(kind)))
}
