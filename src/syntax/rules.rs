//! Which strict rule a broken stretch is held against, so that its mistake says what was expected.

use super::Rule;

/// What may stand in a block: the first word of a statement with its rule, and the rule of a statement with no such word.
#[derive(Clone, Copy)]
pub struct Block {
    /// What the block belongs to, for a message.
    pub owner: &'static str,
    /// Statements by their first word.
    pub words: &'static [(&'static str, Rule)],
    /// Any other statement.
    pub other: Option<Rule>,
}

/// Items of a file by their first word.
pub const ITEMS: &[(&str, Rule)] = &[
    ("part", Rule::part),
    ("build", Rule::build),
    ("use", Rule::use_item),
    ("standard", Rule::standard),
    ("interface", Rule::interface),
    ("kind", Rule::kind),
    ("joint", Rule::joint),
    ("assembly", Rule::assembly),
    ("extend", Rule::extend),
    ("choice", Rule::choice),
    ("caution", Rule::caution),
    ("table", Rule::table),
    ("function", Rule::function),
    ("standalone", Rule::standalone),
];

pub const PART: Block = Block { owner: "part", words: &[], other: Some(Rule::assign) };
pub const BUILD: Block = Block { owner: "build", words: &[("remove", Rule::remove)], other: Some(Rule::assign) };
pub const CHOICE: Block = Block { owner: "choice", words: &[("source", Rule::source)], other: Some(Rule::member) };
pub const INTERFACE: Block = Block {
    owner: "interface",
    words: &[("measure", Rule::measure), ("tool", Rule::tool), ("source", Rule::source), ("note", Rule::note)],
    other: None,
};
pub const STANDARD: Block = Block {
    owner: "standard",
    words: &[
        ("field", Rule::field),
        ("written", Rule::written),
        ("measure", Rule::measure),
        ("tool", Rule::tool),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const KIND: Block = Block {
    owner: "kind",
    words: &[("port", Rule::port), ("fact", Rule::fact), ("source", Rule::source), ("note", Rule::note)],
    other: None,
};
pub const DETAILS: Block = Block {
    owner: "fact",
    words: &[("measure", Rule::measure), ("tool", Rule::tool), ("source", Rule::source), ("note", Rule::note)],
    other: None,
};
pub const TABLE: Block = Block {
    owner: "table",
    words: &[
        ("column", Rule::column),
        ("row", Rule::row),
        ("by", Rule::table_by),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const JOINT: Block = Block {
    owner: "joint",
    words: &[
        ("takes", Rule::takes),
        ("let", Rule::binding),
        ("require", Rule::requirement),
        ("advise", Rule::requirement),
        ("fasten", Rule::fasten),
        ("consumes", Rule::consumes),
        ("caution", Rule::caution_ref),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const RULE: Block = Block {
    owner: "rule",
    words: &[
        ("when", Rule::when),
        ("that", Rule::that),
        ("else", Rule::otherwise),
        ("why", Rule::why),
        ("may", Rule::may),
        ("caution", Rule::caution_ref),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const FASTEN: Block = Block {
    owner: "fastening",
    words: &[
        ("when", Rule::when),
        ("thread", Rule::thread),
        ("tool", Rule::tool),
        ("torque", Rule::torque),
        ("printed", Rule::printed),
        ("prepare", Rule::prepare),
        ("turn", Rule::turn),
        ("before", Rule::before),
        ("caution", Rule::caution_ref),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const ASSEMBLY: Block = Block {
    owner: "assembly",
    words: &[
        ("slot", Rule::slot),
        ("join", Rule::join),
        ("fact", Rule::fact),
        ("caution", Rule::caution_ref),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const EXTEND: Block = Block {
    owner: "extension",
    words: &[
        ("slot", Rule::slot),
        ("join", Rule::join),
        ("port", Rule::port),
        ("fact", Rule::fact),
        ("takes", Rule::takes),
        ("let", Rule::binding),
        ("require", Rule::requirement),
        ("advise", Rule::requirement),
        ("fasten", Rule::fasten),
        ("consumes", Rule::consumes),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
