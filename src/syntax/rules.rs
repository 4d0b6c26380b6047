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
    ("stock", Rule::stock),
    ("use", Rule::whole_use),
    ("standard", Rule::standard),
    ("interface", Rule::interface),
    ("kind", Rule::kind),
    ("joint", Rule::joint),
    ("assembly", Rule::assembly),
    ("extend", Rule::extend),
    ("choice", Rule::choice),
    ("caution", Rule::caution),
    ("table", Rule::table),
    ("function", Rule::whole_function),
    ("standalone", Rule::standalone),
];

pub const PART: Block = Block { owner: "part", words: &[], other: Some(Rule::whole_assign) };
pub const BUILD: Block =
    Block { owner: "build", words: &[("remove", Rule::whole_remove)], other: Some(Rule::whole_assign) };
pub const STOCK: Block = Block { owner: "stock", words: &[], other: Some(Rule::whole_entry) };
pub const CHOICE: Block =
    Block { owner: "choice", words: &[("source", Rule::source)], other: Some(Rule::whole_member) };
pub const INTERFACE: Block = Block {
    owner: "interface",
    words: &[("measure", Rule::measure), ("tool", Rule::tool), ("source", Rule::source), ("note", Rule::note)],
    other: None,
};
pub const STANDARD: Block = Block {
    owner: "standard",
    words: &[
        ("field", Rule::whole_field),
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
    words: &[("port", Rule::whole_port), ("fact", Rule::whole_fact), ("source", Rule::source), ("note", Rule::note)],
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
        ("column", Rule::whole_column),
        ("row", Rule::whole_row),
        ("by", Rule::table_by),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const JOINT: Block = Block {
    owner: "joint",
    words: &[
        ("takes", Rule::whole_takes),
        ("let", Rule::whole_binding),
        ("require", Rule::requirement),
        ("advise", Rule::requirement),
        ("fasten", Rule::fasten),
        ("consumes", Rule::whole_consumes),
        ("cut", Rule::whole_cut),
        ("caution", Rule::whole_cautions),
        ("source", Rule::source),
        ("note", Rule::note),
        ("photo", Rule::whole_work),
        ("undo", Rule::whole_work),
        ("seized", Rule::whole_work),
        ("keep", Rule::whole_work),
        ("ready", Rule::whole_work),
        ("make", Rule::whole_work),
        ("proof", Rule::whole_work),
    ],
    other: None,
};
pub const RULE: Block = Block {
    owner: "rule",
    words: &[
        ("when", Rule::whole_when),
        ("that", Rule::whole_that),
        ("else", Rule::otherwise),
        ("why", Rule::why),
        ("may", Rule::whole_may),
        ("caution", Rule::whole_cautions),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const FASTEN: Block = Block {
    owner: "fastening",
    words: &[
        ("when", Rule::whole_when),
        ("thread", Rule::thread),
        ("tool", Rule::tool),
        ("torque", Rule::whole_torque),
        ("printed", Rule::whole_printed),
        ("prepare", Rule::prepare),
        ("turn", Rule::turn),
        ("before", Rule::before),
        ("settles", Rule::settles),
        ("uses", Rule::whole_uses),
        ("caution", Rule::whole_cautions),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const WORK: Block = Block {
    owner: "work",
    words: &[
        ("when", Rule::whole_when),
        ("tool", Rule::tool),
        ("caution", Rule::whole_cautions),
        ("source", Rule::source),
        ("note", Rule::note),
    ],
    other: None,
};
pub const ASSEMBLY: Block = Block {
    owner: "assembly",
    words: &[
        ("slot", Rule::whole_slot),
        ("join", Rule::whole_join),
        ("fact", Rule::whole_fact),
        ("caution", Rule::whole_cautions),
        ("source", Rule::source),
        ("note", Rule::note),
        ("photo", Rule::whole_work),
        ("undo", Rule::whole_work),
        ("seized", Rule::whole_work),
        ("keep", Rule::whole_work),
        ("ready", Rule::whole_work),
        ("make", Rule::whole_work),
        ("proof", Rule::whole_work),
    ],
    other: None,
};
pub const EXTEND: Block = Block {
    owner: "extension",
    words: &[
        ("slot", Rule::whole_slot),
        ("join", Rule::whole_join),
        ("port", Rule::whole_port),
        ("fact", Rule::whole_fact),
        ("takes", Rule::whole_takes),
        ("let", Rule::whole_binding),
        ("require", Rule::requirement),
        ("advise", Rule::requirement),
        ("fasten", Rule::fasten),
        ("consumes", Rule::whole_consumes),
        ("cut", Rule::whole_cut),
        ("source", Rule::source),
        ("note", Rule::note),
        ("photo", Rule::whole_work),
        ("undo", Rule::whole_work),
        ("seized", Rule::whole_work),
        ("keep", Rule::whole_work),
        ("ready", Rule::whole_work),
        ("make", Rule::whole_work),
        ("proof", Rule::whole_work),
    ],
    other: None,
};

/// Whose blocks know a statement that begins with `word`.
pub fn owners(word: &str) -> Vec<&'static str> {
    let all = [&CHOICE, &INTERFACE, &STANDARD, &KIND, &TABLE, &JOINT, &RULE, &FASTEN, &WORK, &ASSEMBLY];
    let knows = |block: &&&Block| block.words.iter().any(|(known, _)| *known == word);
    all.iter().filter(knows).map(|block| block.owner).collect()
}

/// How what a rule stands for is written, in backticks; nothing where that says nothing.
pub fn form(rule: Rule) -> &'static str {
    match rule {
        Rule::whole_use => "`use \"FILE.cotter\"`",
        Rule::part => "`part NAME : KIND \"what it is\" { FACT = VALUE }`",
        Rule::build => "`build NAME : ASSEMBLY { SLOT = PART }` or `build NAME from BUILD { SLOT = PART }`",
        Rule::stock => "`stock NAME : KIND \"FILE.csv\" { name = column \"HEADER\" }`",
        Rule::whole_entry => "`FACT = column \"HEADER\" UNIT`, or `FACT = VALUE` for all rows",
        Rule::caution => "`caution NAME \"what to beware of\"`",
        Rule::choice => "`choice NAME \"what it is\" { MEMBER \"what it means\" }`",
        Rule::interface => "`interface NAME \"what it is\" { measure \"how to tell\" }`",
        Rule::standard => "`standard NAME : INTERFACE \"what it is\" { field NAME : TYPE }`",
        Rule::kind => "`kind NAME \"what it is\" { fact NAME : TYPE }`",
        Rule::table => "`table NAME \"what it is\" { column NAME : TYPE }`",
        Rule::whole_function => "`function NAME(PARAMETER : TYPE) \"what it is\" = EXPRESSION`",
        Rule::joint => "`joint NAME \"what meets\" { takes NAME : TYPE }`",
        Rule::assembly => "`assembly NAME \"what it is\" { slot NAME : KIND }`",
        Rule::extend => "`extend kind NAME { fact NAME : TYPE }`",
        Rule::whole_assign => "`NAME = VALUE`",
        Rule::whole_remove => "`remove SLOT, SLOT`",
        Rule::whole_member => "`NAME \"what it means\"`",
        Rule::whole_field => "`field NAME : TYPE LOW .. HIGH = DEFAULT \"what it is\"`",
        Rule::whole_port => "`port NAME : INTERFACE \"what it is\"`",
        Rule::whole_fact => "`fact NAME : TYPE LOW .. HIGH = DEFAULT \"what it is\"`",
        Rule::written => "`written FIELD - FIELD` or `written FIELD x FIELD`",
        Rule::whole_column => "`column NAME : TYPE`",
        Rule::whole_row => "`row VALUE, VALUE`",
        Rule::table_by => "`by exact`, `by floor` or `by linear`",
        Rule::whole_takes => "`takes NAME : TYPE`",
        Rule::whole_binding => "`let NAME = EXPRESSION`",
        Rule::requirement => "`require CODE \"what must hold\" { that CONDITION; else \"what is said if not\" }`",
        Rule::whole_when => "`when CONDITION`",
        Rule::whole_that => "`that CONDITION`",
        Rule::whole_may => "`may \"what may be done\" when CONDITION`",
        Rule::fasten => "`fasten NAME \"what is fastened\" { torque 5 N·m .. 7 N·m }`",
        Rule::whole_torque => "`torque 5 N·m .. 7 N·m` or `torque hand`",
        Rule::whole_printed => "`printed PATH, PATH`",
        Rule::turn => "`turn left` or `turn right`",
        Rule::whole_cautions => "`caution NAME, NAME`",
        Rule::whole_consumes => "`consumes \"what\" : HOW_MANY when CONDITION`",
        Rule::whole_cut => "`cut \"what\" : LENGTH when CONDITION`",
        Rule::whole_uses => "`uses \"what\", \"what\"`",
        Rule::settles => "`settles`",
        Rule::whole_work => "`undo \"what is done\" when CONDITION`, with or without a block",
        Rule::whole_slot => "`slot NAME : KIND | KIND \"what it is\"`",
        Rule::whole_join => "`join NAME \"what meets\" = JOINT(PARAMETER = PATH)`",
        Rule::source => {
            "`source published \"where\"`, `source practice`, `source memory \"why\"` or `source derived \"how\"`"
        }
        Rule::why => "`why \"TEXT\"`",
        Rule::otherwise => "`else \"TEXT\"`",
        Rule::measure => "`measure \"TEXT\"`",
        Rule::tool => "`tool \"TEXT\"`",
        Rule::note => "`note \"TEXT\"`",
        Rule::thread => "`thread \"TEXT\"`",
        Rule::prepare => "`prepare \"TEXT\"`",
        Rule::before => "`before \"TEXT\"`",
        _ => "",
    }
}
