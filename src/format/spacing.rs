//! What stands between two tokens of a line: a space or nothing.

use super::Rule;

/// Whether a space stands between `left` and `after`, both directly in a `parent`.
pub fn spaced(parent: Rule, left: Rule, after: Rule) -> bool {
    match (left, after) {
        (Rule::lparen | Rule::lbracket, _) | (_, Rule::rparen | Rule::rbracket | Rule::comma | Rule::separator) => {
            false
        }
        // A call, a look-up, the parameters of a function.
        (_, Rule::lparen | Rule::arguments) => !matches!(
            parent,
            Rule::apply | Rule::named | Rule::filled | Rule::function | Rule::join | Rule::through | Rule::arguments
        ),
        (_, Rule::lbracket) => parent != Rule::lookup,
        (Rule::dot, _) | (_, Rule::dot) => false,
        (Rule::tilde, _) | (_, Rule::optional) => false,
        // A sign, not a difference.
        (Rule::minus, _) => !matches!(parent, Rule::unary | Rule::quantity),
        _ => true,
    }
}

/// Whether a line of a statement that is too long may be broken between the two.
pub fn breakable(parent: Rule, left: Rule, after: Rule) -> bool {
    match parent {
        Rule::apply => left == Rule::comma,
        Rule::arguments | Rule::list_value | Rule::list_expr | Rule::filled => {
            matches!(left, Rule::comma | Rule::lparen | Rule::lbracket)
                && !matches!(after, Rule::rparen | Rule::rbracket)
        }
        Rule::join => {
            matches!(after, Rule::through | Rule::when)
                || matches!(left, Rule::comma | Rule::lparen) && after == Rule::bind
        }
        Rule::consumes => after == Rule::when,
        Rule::or_expr => after == Rule::kw_or,
        Rule::and_expr => after == Rule::kw_and,
        Rule::sum => matches!(after, Rule::plus | Rule::minus),
        Rule::product => matches!(after, Rule::star | Rule::slash),
        Rule::if_expr => matches!(after, Rule::kw_then | Rule::kw_else),
        Rule::function => left == Rule::equals,
        _ => false,
    }
}

/// Whether a line break that a person put between the two goes before the first of them instead: an operator begins a line.
pub fn moved(parent: Rule, left: Rule) -> bool {
    matches!(
        (parent, left),
        (Rule::or_expr, Rule::kw_or)
            | (Rule::and_expr, Rule::kw_and)
            | (Rule::sum, Rule::plus | Rule::minus)
            | (Rule::product, Rule::star | Rule::slash)
            | (Rule::if_expr, Rule::kw_else)
    )
}
