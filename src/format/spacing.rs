//! What stands between two tokens of a line: a space or nothing.

use super::Rule;

/// Whether a space stands between `left` and `right`, both directly in a `parent`.
pub fn spaced(parent: Rule, left: Rule, right: Rule) -> bool {
    match (left, right) {
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
pub fn breakable(parent: Rule, left: Rule, right: Rule) -> bool {
    match parent {
        Rule::apply => left == Rule::comma,
        Rule::arguments | Rule::list_value | Rule::list_expr | Rule::filled => {
            matches!(left, Rule::comma | Rule::lparen | Rule::lbracket)
                && !matches!(right, Rule::rparen | Rule::rbracket)
        }
        Rule::join => {
            matches!(right, Rule::through | Rule::when | Rule::upon | Rule::after)
                || matches!(left, Rule::comma | Rule::lparen) && right == Rule::bind
        }
        Rule::consumes | Rule::cut | Rule::work => right == Rule::when,
        Rule::or_expr => right == Rule::kw_or,
        Rule::and_expr => right == Rule::kw_and,
        Rule::sum => matches!(right, Rule::plus | Rule::minus),
        Rule::product => matches!(right, Rule::star | Rule::slash),
        Rule::if_expr => matches!(right, Rule::kw_then | Rule::kw_else),
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
