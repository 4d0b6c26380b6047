//! Every code of a mistake, with its page.

/// A stable code.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Code {
    /// As it is printed: `fact.unknown`.
    pub id: &'static str,
    /// What is wrong, in a line.
    pub title: &'static str,
    /// The page that `explain` prints, in Markdown.
    pub page: &'static str,
}

macro_rules! codes {
    ($($name:ident $id:literal $title:literal;)*) => {
        $(pub(super) const $name: Code = Code { id: $id, title: $title, page: include_str!(concat!("pages/", $id, ".md")) };)*
        /// All codes of mistakes, in the order of the pages.
        pub const CODES: &[Code] = &[$($name),*];
    };
}

codes! {
    TEXT_NOT_UTF8 "text.not_utf8" "the file is not UTF-8 text";
    TEXT_TOO_LARGE "text.too_large" "the file is too large";
    TEXT_LONG_LINE "text.long_line" "a line is too long";
    TEXT_TOO_DEEP "text.too_deep" "too many brackets within brackets";
    SYNTAX_ITEM "syntax.item" "something at the left margin is no item";
    SYNTAX_LINE "syntax.line" "a line can't be read";
    SYNTAX_STATEMENT "syntax.statement" "a line does not begin with a word of its block";
    SYNTAX_UNCLOSED "syntax.unclosed" "a block is not closed";
    USE_NOT_FOUND "use.not_found" "a used file is not there";
    USE_UNREADABLE "use.unreadable" "a used file can't be read";
    USE_LOOP "use.loop" "files use each other in a circle";
    USE_OUTSIDE "use.outside" "a used file lies outside the project folder";
    NAME_TWICE "name.twice" "a name is declared twice";
    NAME_UNKNOWN "name.unknown" "a name is not known";
    TYPE_UNKNOWN "type.unknown" "a type is not known";
    FACT_UNKNOWN "fact.unknown" "a part states a fact that its kind does not have";
    FACT_TWICE "fact.twice" "a fact is given twice";
    FACT_TYPE "fact.type" "a value is not what the fact takes";
    FACT_UNIT "fact.unit" "a unit is missing or of the wrong dimension";
    FACT_IMPLAUSIBLE "fact.implausible" "a value is outside of what is plausible";
    NUMBER_UNREADABLE "number.unreadable" "a number is too large or no number";
    RANGE_REVERSED "range.reversed" "a range begins above its end";
    MONEY_MIXED "money.mixed" "amounts in different currencies meet";
    FIELD_UNKNOWN "field.unknown" "a standard has no such field";
    FIELD_TWICE "field.twice" "a field is given twice";
    FIELD_COUNT "field.count" "a standard is given more values than it has fields";
    SLOT_UNKNOWN "slot.unknown" "an assembly has no such slot";
    SLOT_KIND "slot.kind" "a part of the wrong kind stands in a slot";
    SLOT_MISSING "slot.missing" "a slot that must be filled is empty";
    SLOT_EMPTY "slot.empty" "an empty slot is emptied or a removed one is filled";
    BUILD_LOOP "build.loop" "builds come from each other in a circle";
    JOIN_LOOP "join.loop" "joins wait for each other in a circle";
    RULE_TYPE "rule.type" "an expression of a rule does not add up";
    RULE_INCOMPLETE "rule.incomplete" "a definition lacks what it needs";
    RULE_LOOP "rule.loop" "functions call each other in a circle";
    TORQUE_CONFLICT "torque.conflict" "no torque satisfies the joint and both parts";
    COST_OVER_BUDGET "cost.over_budget" "the build costs more than its budget";
    STOCK_FILE "stock.file" "a price list can't be read";
    STOCK_ENCODING "stock.encoding" "a price list is written in another encoding";
    STOCK_HEADER "stock.header" "the header of a price list can't be read";
    STOCK_COLUMN "stock.column" "a price list has no such column";
    STOCK_SETTING "stock.setting" "a setting of a stock is not what it takes";
    STOCK_EMPTY "stock.empty" "no row of a price list is used";
    STOCK_ROW "stock.row" "a row of a price list does not fit its header";
    STOCK_CELL "stock.cell" "a cell of a price list can't be read";
    STOCK_DECIMAL "stock.decimal" "a number of a price list can be read in two ways";
    STOCK_TWICE "stock.twice" "two rows of a price list have the same name";
    STOCK_MORE "stock.more" "more rows of a price list are left out";
    STOCK_PART "stock.part" "a build names a part that a price list does not have";
    PART_UNAVAILABLE "part.unavailable" "a build takes a part that is not to be had";
    JOINT_OPEN "joint.open" "a joint hangs on facts that are not known";
}

/// The code with this id.
pub fn code(id: &str) -> Option<&'static Code> {
    CODES.iter().find(|code| code.id == id)
}
