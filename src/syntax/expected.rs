//! What the grammar expected, in the words of a spec.

use super::Rule;
use pest::error::{Error, ErrorVariant, InputLocation};

/// Byte offset at which the parser stood still.
pub fn position(error: &Error<Rule>) -> usize {
    match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    }
}

/// What follows a statement.
pub const LINE_END: &str = "the end of the line";

/// What could have stood there, at most five things, most telling first.
pub fn words(error: &Error<Rule>) -> Vec<String> {
    let ErrorVariant::ParsingError { positives, negatives } = &error.variant else { return Vec::new() };
    if positives.is_empty() && negatives.iter().any(|rule| matches!(rule, Rule::kw_from | Rule::kw_of)) {
        // A word of the language where a name of any other spelling could stand.
        return vec!["a name".to_owned()];
    }
    let mut found: Vec<String> = Vec::new();
    // A value may begin in ten ways; one phrase says it better than ten.
    let value = positives.contains(&Rule::unknown);
    if value {
        found.push("a value, such as `26.8 mm`, `~46 mm`, `?` or a name".to_owned());
    }
    let expression = positives.contains(&Rule::group);
    if expression {
        found.push("an expression, such as `a.width - 2 mm`".to_owned());
    }
    let whole = positives.iter().any(|rule| matches!(rule, Rule::EOI | Rule::newline));
    // Where a mark would close or carry on what is open, what could make a number or text longer is no help.
    let marked = positives.iter().any(|rule| is_mark(*rule));
    let mut dropped: Vec<String> = Vec::new();
    let mut positives = positives.clone();
    positives.sort_by_key(|rule| !matches!(rule, Rule::equals | Rule::colon | Rule::comma));
    for rule in &positives {
        let inner = value && part_of_value(*rule) || expression && part_of_expression(*rule);
        let longer = (marked || whole) && goes_on(*rule);
        let keep = !whole || matches!(*rule, Rule::comma | Rule::open | Rule::equals | Rule::colon);
        let Some(word) = word(*rule).filter(|it| !inner && !found.contains(it)) else { continue };
        if keep && !longer { &mut found } else { &mut dropped }.push(word);
    }
    if !whole && found.is_empty() {
        // A range that lacks its end could go on in many ways, and must in one.
        let dots = dropped.iter().position(|it| it == "`..`").map(|at| dropped.swap_remove(at));
        found = dots.map_or(dropped, |dots| vec![dots]);
    }
    if whole {
        found.push(LINE_END.to_owned());
    }
    if found.len() > 1 {
        // A name may always be meant as one with brackets; what else could follow says more.
        found.retain(|it| it != "`(`");
    }
    // What has examples comes last, so that they don't run into what follows.
    found.sort_by_key(|it| it.contains(", such as"));
    found.dedup();
    found.truncate(5);
    found
}

/// What a statement can't do without, once it stands there at all.
fn is_mark(rule: Rule) -> bool {
    use Rule::*;
    matches!(rule, open | close | lparen | rparen | rbracket | equals | colon | comma | dots | kw_then | kw_else)
}

/// What only makes longer what is whole already.
fn goes_on(rule: Rule) -> bool {
    use Rule::*;
    matches!(rule, unit | dots | dash | times | plus | minus | star | slash | plus_minus | dot | comparator | compare)
        || matches!(rule, is_test | in_test | kw_is | kw_in | kw_and | kw_or | kw_when | kw_not | text | words | string)
        || matches!(rule, quote | limits | optional | shares | through | lbracket | pipe)
        || matches!(rule, upon | after | kw_upon | kw_after | kw_through)
}

fn part_of_value(rule: Rule) -> bool {
    use Rule::*;
    matches!(
        rule,
        unknown | estimate | up_to | cross | series | measured | quantity | named | arguments | text | list_value
    ) || matches!(rule, tilde | kw_up | figure | minus | number | name | part_name | lbracket | string | quote)
}

fn part_of_expression(rule: Rule) -> bool {
    use Rule::*;
    matches!(
        rule,
        expr | if_expr
            | or_expr
            | and_expr
            | not_expr
            | comparison
            | sum
            | product
            | unary
            | quantity_expr
            | text
            | apply
    ) || matches!(
        rule,
        lookup | path | group | list_expr | kw_if | kw_not | minus | number | name | lparen | lbracket | quote | string
    )
}

/// How one rule is named to a person; `None` for what nobody would type to mend the line.
fn word(rule: Rule) -> Option<String> {
    use Rule::*;
    let fixed = match rule {
        EOI | stop | blank | newline | comment | separator | wrap => return None,
        open => "`{`",
        close => "`}`",
        lparen => "`(`",
        rparen => "`)`",
        lbracket => "`[`",
        rbracket => "`]`",
        equals => "`=`",
        colon => "`:`",
        comma => "`,`",
        dot => "`.`",
        dots => "`..`",
        pipe => "`|`",
        tilde => "`~`",
        dash | minus => "`-`",
        times => "`x`",
        plus => "`+`",
        star => "`*`",
        slash => "`/`",
        plus_minus => "`±` or `+-`",
        optional => "`?`",
        unit => "a unit, such as `mm`",
        number | figure => "a number",
        quantity | quantity_expr => "a number with its unit, such as `26.8 mm`",
        name | path | part_name | row_name => "a name",
        text | words | string | quote => "a text in quotes",
        argument => "a value, such as `26.8 mm`",
        value | unknown => "a value, such as `26.8 mm`",
        cell => "a column, such as `column \"price\" EUR`",
        test => "`is`",
        entry | whole_entry => "an entry, such as `mass = column \"weight\" g`",
        assign | whole_assign => "a fact, such as `mass = 300 g`",
        r#type => "a type, such as `length`",
        expr | whole_that | whole_when | unary | product | sum | comparison | not_expr | and_expr | or_expr
        | if_expr => "an expression, such as `a.width - 2 mm`",
        extended => "`kind`, `assembly` or `joint`",
        comparator | compare => "a comparison, such as `<=`",
        is_test => "`is`",
        in_test => "`in`",
        severity => "`require` or `advise`",
        _ => "",
    };
    if !fixed.is_empty() {
        return Some(fixed.to_owned());
    }
    let called = format!("{rule:?}");
    Some(match called.strip_prefix("kw_") {
        Some(keyword) => format!("`{keyword}`"),
        None => {
            let called = called.trim_start_matches("whole_").replace('_', " ");
            format!("{} {called}", if called.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" })
        }
    })
}
