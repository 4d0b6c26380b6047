//! The workshop report: sound HTML, drawings that say what the sheets say, words that stay words.

mod command;
mod hostile;
mod places;

use cotter::Compiled;
use cotter::report::Report;
use cotter::source::{Disk, Memory};
use dom_query::Document;
use std::collections::BTreeSet;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// A spec of the demos, by the name of its folder.
fn demo(name: &str) -> Compiled {
    let folder = format!("{ROOT}/specs/{name}");
    cotter::compile(&Disk::below(&folder), &format!("{folder}/{name}.cotter"), &folder).unwrap()
}

/// A text that is a spec of its own.
fn spec(text: &str) -> Compiled {
    cotter::compile(&Memory::one("mine.cotter", text), "mine.cotter", "").unwrap()
}

fn reports(unit: &Compiled) -> Vec<Report> {
    unit.builds.iter().map(|it| Report::of(unit, it)).collect()
}

fn report(unit: &Compiled, build: &str) -> Report {
    let judged = unit.builds.iter().find(|it| unit.model[it.build].name.text == build).unwrap();
    Report::of(unit, judged)
}

/// A page as a browser takes it; with no mistake in it, no two things of one name, and no link to nowhere.
fn sound(html: &str) -> Document {
    let page = Document::from(html);
    assert_eq!(*page.errors.borrow(), Vec::<String>::new(), "mistakes in the HTML");
    let ids: Vec<String> = page.select("[id]").iter().map(|it| it.attr("id").unwrap().to_string()).collect();
    let known: BTreeSet<&String> = ids.iter().collect();
    assert_eq!(ids.len(), known.len(), "an id stands twice");
    for link in page.select("a[href]").iter() {
        let href = link.attr("href").unwrap().to_string();
        let to = href.strip_prefix('#').unwrap_or_else(|| panic!("{href} leaves the page"));
        assert!(known.contains(&to.to_owned()), "nothing is called {to}");
    }
    for named in page.select("[aria-labelledby]").iter() {
        for id in named.attr("aria-labelledby").unwrap().split_whitespace() {
            assert!(known.contains(&id.to_owned()), "no title {id}");
        }
    }
    assert!(page.select("script, iframe, object, embed, link, img").is_empty(), "nothing is fetched, nothing runs");
    page
}

#[test]
fn a_parser_of_html_notices_mistakes() {
    for wrong in ["<!DOCTYPE html><title>x</title><p><b>a</p>", "<!DOCTYPE html><title>x</title></span>"] {
        assert!(!Document::from(wrong).errors.borrow().is_empty(), "{wrong}");
    }
}

#[test]
fn the_demos_make_sound_pages_that_hold_every_joint() {
    for name in ["heron", "curlew"] {
        let unit = demo(name);
        for (judged, report) in unit.builds.iter().zip(reports(&unit)) {
            let page = sound(&report.html());
            for number in 1..=judged.joints.len() {
                assert_eq!(page.select(&format!("#joint-{number}")).length(), 1, "joint {number} of {}", report.name);
            }
            let titles: Vec<String> = page.select("main h2").iter().map(|it| it.text().to_string()).collect();
            assert_eq!(titles.first().map(String::as_str), Some("Cautions"), "cautions come first");
            for title in
                ["Side view", "Joints", "Bill of materials", "Torque sheet", "Steps", "Measuring list", "Geometry"]
            {
                assert!(titles.iter().any(|it| it == title), "{} has no {title}", report.name);
            }
            for picture in page.select("figure svg").iter() {
                assert!(!picture.select("title").text().is_empty() && !picture.select("desc").text().is_empty());
                assert_eq!(picture.select("[role=img]").length(), 1);
            }
            for table in page.select("table").iter() {
                assert!(table.select("thead th[scope=col]").exists(), "a table without a header");
                assert_eq!(table.parent().attr("tabindex").as_deref(), Some("0"), "a table that keys can't scroll");
            }
            let markdown = report.markdown();
            assert!(titles.iter().all(|it| markdown.contains(&format!("\n## {it}\n"))), "Markdown has the same sheets");
        }
    }
}

#[test]
fn a_clash_is_told_where_it_is() {
    let unit = demo("heron");
    let html = report(&unit, "heron_first_try").html();
    let page = sound(&html);
    let said = "the hub is 135 mm wide, the dropouts are 126 mm apart: 9 mm too wide";
    let entry = page.select("article.clashes").iter().find(|it| it.text().contains(said)).expect("an entry tells it");
    let id = entry.attr("id").unwrap().to_string();
    let links = page.select(&format!("a[href='#{id}']"));
    assert!(links.length() >= 2, "the side view and the map lead to it");
    assert!(links.iter().all(|it| it.select(".mark.clashes").exists()), "by the mark of a clash");
    let map = page.select("svg[aria-labelledby='map-1-title']").text();
    assert!(map.contains("the hub is 135 mm wide"), "the map tells it on the spot");
}

#[test]
fn the_same_spec_gives_the_same_bytes() {
    for name in ["heron", "curlew"] {
        let pages =
            || -> Vec<(String, String)> { reports(&demo(name)).iter().map(|it| (it.html(), it.markdown())).collect() };
        assert_eq!(pages(), pages());
    }
}

#[test]
fn what_is_no_bicycle_has_a_report_without_its_drawings() {
    let unit = super::fixtures::compile(&std::path::Path::new(ROOT).join("tests/trolley/trolley.cotter"));
    for report in reports(&unit) {
        let page = sound(&report.html());
        let titles: Vec<String> = page.select("main h2").iter().map(|it| it.text().to_string()).collect();
        let expected = ["Cautions", "Joints", "Bill of materials", "Torque sheet", "Steps", "Measuring list"];
        assert_eq!(titles, expected, "{}", report.name);
    }
    insta::assert_snapshot!("trolley_markdown", report(&unit, "thin_stem").markdown());
}

#[test]
fn what_is_only_to_know_is_no_clash_on_the_map() {
    let unit = demo("heron");
    let page = sound(&report(&unit, "heron_first_try").html());
    let advice = "above the tyre there are 12 mm";
    assert!(page.select("#joints article").text().contains(&format!("to know: {advice}")), "it is told with its joint");
    assert!(!page.select("#joints svg").text().contains(advice), "the map tells only what is wrong");
}

#[test]
fn a_reading_has_room_to_be_written_down() {
    let page = sound(&report(&demo("curlew"), "curlew_as_bought").html());
    let checks = page.select("#measure .checks > li");
    assert!(checks.length() >= 5, "several readings");
    assert!(
        checks.iter().all(|it| it.select("label input[type=checkbox]").exists() && it.select(".blank .line").exists())
    );
    let set = page.select("#torque table").iter().next().unwrap();
    let titles: Vec<String> = set.select("thead th").iter().map(|it| it.text().to_string()).collect();
    let at = titles.iter().position(|it| it == "set").expect("a column for what was set");
    let cells: Vec<String> =
        set.select("tbody tr").iter().map(|row| row.select("td").iter().nth(at).unwrap().text().to_string()).collect();
    assert!(cells.len() > 10 && cells.iter().all(String::is_empty), "{cells:?}");
}
