//! What `cotter explain` says: pages of mistakes whose examples are compiled, and pages of all that a library declares.

mod library;
mod mistakes;

use cotter::explain;
use cotter::source::Memory;
use cotter::{Compiled, compile};

/// The trade's own library, alone.
fn trade() -> Compiled {
    compile(&Memory::one("nothing.cotter", ""), "nothing.cotter", "").unwrap()
}

/// A library that is no bicycle's.
fn trolley() -> Compiled {
    let text = include_str!("../fixtures/mistakes/shared/trolley.cotter");
    compile(&Memory::one("trolley.cotter", text), "trolley.cotter", "").unwrap()
}

fn page(of: &Compiled, name: &str) -> String {
    explain::page(&of.files, &of.model, name).unwrap_or_else(|near| panic!("`{name}` has no page; near: {near:?}"))
}

/// A text without its line breaks and indents.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn pages_look_well() {
    let trolley = trolley();
    for (sort, name) in [
        ("assembly", "trolley"),
        ("slot", "left"),
        ("join", "right"),
        ("kind", "deck"),
        ("fact", "deck.load"),
        ("path", "left.foot.bore"),
        ("interface", "socket"),
        ("standard", "socket.stem"),
        ("notation", "size"),
        ("choice", "stuff"),
        ("joint", "castor_on_deck"),
        ("rule", "castor.bore"),
        ("advice", "castor.hole"),
        ("fastening", "castor_on_deck.bolts"),
        ("fastening_by_hand", "nut"),
        ("table", "bolt_for"),
        ("function", "share"),
        ("caution", "pinch"),
        ("member", "wood"),
        ("builtin", "given"),
        ("type", "torque"),
        ("common_fact", "lead_time"),
        ("fact_of_a_build", "budget"),
        ("mistake", "fact.implausible"),
        ("mistake_with_files", "use.loop"),
        ("mistake_without_example", "text.not_utf8"),
    ] {
        let shown = format!("$ cotter explain {name}\n{}", page(&trolley, name));
        insta::assert_snapshot!(format!("explain_{sort}"), shown);
    }
}

#[test]
fn the_list_looks_well() {
    let trolley = trolley();
    insta::assert_snapshot!("explain_list", explain::list(&trolley.model));
}

#[test]
fn a_name_with_several_meanings_shows_them_all() {
    let trolley = trolley();
    // A kind and a slot; a fact of three kinds, and a type; a standard by its bare name.
    let shown = page(&trolley, "deck");
    assert!(shown.starts_with("deck: the deck\n"), "{shown}");
    assert!(shown.contains("\n\ndeck: a deck\n"), "{shown}");
    let shown = page(&trolley, "torque");
    for title in ["torque: a number", "deck.torque: ", "castor.torque: "] {
        assert!(shown.contains(title), "no {title} in {shown}");
    }
    let trade = trade();
    let shown = page(&trade, "none");
    let count = trade.model.standards.iter().filter(|it| it.name.text == "none").count();
    assert!(count > 3);
    assert!(shown.matches("a standard of `").count() >= count, "{count} standards are called `none`");
}

#[test]
fn what_is_not_known_leads_to_what_is() {
    let trade = trade();
    let near = |name: &str| explain::page(&trade.files, &trade.model, name).unwrap_err();
    assert_eq!(near("axle.spacin").first().map(String::as_str), Some("axle.spacing"));
    assert!(near("dropouts").contains(&"rear.dropouts".to_owned()), "{:?}", near("dropouts"));
    assert!(near("fact.unknwon").contains(&"fact.unknown".to_owned()));
    assert!(near("qqqqqqqqqqqq").is_empty());
    assert!(near("").is_empty());
    // Another case is no other name.
    assert!(explain::page(&trade.files, &trade.model, "AXLE.Spacing").is_ok());
}

#[test]
fn no_line_is_wider_than_the_page() {
    let (trolley, trade) = (trolley(), trade());
    for compiled in [&trolley, &trade] {
        let names = explain::names(&compiled.model);
        let pages = names.iter().map(|name| page(compiled, name)).chain([explain::list(&compiled.model)]);
        for shown in pages {
            for line in shown.lines() {
                // A word that is longer than the line can't be broken, and an example stands as it is.
                let words = line.split_whitespace().count();
                let wide = line.chars().count() > 92 && words > 1 && !line.starts_with("    ");
                assert!(!wide, "{line:?}");
                assert_eq!(line, line.trim_end());
            }
        }
    }
}

#[test]
fn a_hostile_name_does_not_steer_the_terminal() {
    let text = "caution hot \"\u{1b}[31mred\u{202e}\"\n";
    let compiled = cotter::compile(&cotter::source::Memory::one("a.cotter", text), "a.cotter", "").unwrap();
    let shown = page(&compiled, "hot");
    assert!(!shown.contains('\u{1b}') && !shown.contains('\u{202e}'), "{shown:?}");
    assert!(explain::page(&compiled.files, &compiled.model, "\u{1b}[31m").is_err());
}
