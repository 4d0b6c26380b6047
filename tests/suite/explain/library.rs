//! The pages of the trade's library: everything has one, and each holds what its reader is there for.

use super::{flat, page, trade};
use cotter::explain;
use cotter::model::About;

#[test]
fn every_name_in_the_list_has_a_page() {
    let trade = trade();
    let names = explain::names(&trade.model);
    assert!(names.len() > 800, "{}", names.len());
    let list = explain::list(&trade.model);
    for name in &names {
        assert!(list.contains(name.as_str()), "{name} is not in the list");
        let shown = page(&trade, name);
        let (first, rest) = shown.split_once('\n').unwrap();
        assert!(first.to_lowercase().contains(&name.to_lowercase()) || shown.contains(name), "{name}: {first}");
        assert!(rest.lines().count() > 2, "the page of {name} says nothing: {shown}");
    }
}

#[test]
fn the_page_of_a_rule_holds_all_of_it() {
    let trade = trade();
    for joint in &trade.model.joints {
        for rule in &joint.rules {
            let shown = flat(&page(&trade, &rule.code.text));
            let mut wanted =
                vec![rule.words.about.doc.clone(), rule.words.why.clone(), format!("`{}`", joint.name.text)];
            wanted.extend(
                rule.words
                    .cautions
                    .iter()
                    .chain(&joint.cautions)
                    .map(|it| trade.model.cautions[&it.name].text.to_string()),
            );
            wanted.extend(sources(&rule.words.about));
            wanted.push(if rule.required { "a clash" } else { "advice" }.to_owned());
            for words in wanted {
                assert!(shown.contains(&flat(&words)), "{} lacks {words:?}:\n{shown}", rule.code.text);
            }
            assert!(shown.contains("Must hold that") || shown.contains(" that "), "{shown}");
        }
    }
}

#[test]
fn the_page_of_a_fastening_holds_all_of_it() {
    let trade = trade();
    let mut figures = 0;
    for joint in &trade.model.joints {
        for fastening in &joint.fastenings {
            let name = format!("{}.{}", joint.name.text, fastening.name.text);
            let shown = flat(&page(&trade, &name));
            let mut wanted = vec![fastening.words.about.doc.clone()];
            wanted.extend(
                fastening
                    .words
                    .cautions
                    .iter()
                    .chain(&joint.cautions)
                    .map(|it| trade.model.cautions[&it.name].text.to_string()),
            );
            wanted.extend(sources(&fastening.words.about));
            wanted.extend(fastening.printed.iter().map(|(path, _)| path.text.clone()));
            if fastening.left {
                wanted.push("LEFT".to_owned());
            }
            if fastening.by_hand {
                wanted.push("by hand".to_owned());
            }
            if fastening.torque.is_some() {
                wanted.push("N·m".to_owned());
                figures += usize::from(shown.contains("in·lb"));
            }
            for words in wanted {
                assert!(shown.contains(&flat(&words)), "{name} lacks {words:?}:\n{shown}");
            }
        }
    }
    assert!(figures > 60, "only {figures} torques are shown in figures");
}

#[test]
fn the_page_of_a_joint_holds_its_cautions_rules_and_fastenings() {
    let trade = trade();
    for joint in &trade.model.joints {
        let shown = flat(&page(&trade, &joint.name.text));
        let of_rules = joint.rules.iter().flat_map(|it| &it.words.cautions);
        let of_fastenings = joint.fastenings.iter().flat_map(|it| &it.words.cautions);
        for caution in joint.cautions.iter().chain(of_rules).chain(of_fastenings) {
            let text = flat(&trade.model.cautions[&caution.name].text);
            assert_eq!(shown.matches(&text).count(), 1, "{} says {} once:\n{shown}", joint.name.text, caution.name);
        }
        for rule in &joint.rules {
            assert!(
                shown.contains(&rule.code.text) && shown.contains(&flat(&rule.words.about.doc)),
                "{}",
                rule.code.text
            );
        }
        for fastening in &joint.fastenings {
            assert!(shown.contains(&flat(&fastening.words.about.doc)), "{}", fastening.name.text);
            for words in sources(&fastening.words.about) {
                assert!(shown.contains(&flat(&words)), "{} lacks {words}", joint.name.text);
            }
        }
        let joins = trade.model.assemblies.iter().flat_map(|it| &it.joins);
        for join in joins.filter(|it| trade.model[it.joint].name.text == joint.name.text) {
            assert!(shown.contains(&join.name.text), "{} is not said to be at {}", joint.name.text, join.name.text);
        }
    }
}

#[test]
fn every_fact_has_a_page_that_says_how_to_measure_it() {
    let trade = trade();
    for kind in &trade.model.kinds {
        for (name, id) in kind.facts.iter().filter(|(_, id)| !trade.model.common.contains(id)) {
            let fact = &trade.model[*id];
            let shown = flat(&page(&trade, &format!("{}.{name}", kind.name.text)));
            assert!(!fact.about.doc.is_empty(), "{}.{name} says not what it is", kind.name.text);
            for words in
                [Some(&fact.about.doc), fact.about.measure.as_ref(), fact.about.tool.as_ref()].into_iter().flatten()
            {
                assert!(shown.contains(&flat(words)), "{}.{name} lacks {words:?}:\n{shown}", kind.name.text);
            }
        }
    }
}

#[test]
fn every_definition_says_what_it_is() {
    let model = trade().model;
    let mut silent: Vec<String> = Vec::new();
    let mut look = |name: String, doc: &str| {
        if doc.trim().is_empty() {
            silent.push(name);
        }
    };
    for it in &model.joints {
        look(it.name.text.clone(), &it.about.doc);
    }
    for assembly in &model.assemblies {
        look(assembly.name.text.clone(), &assembly.about.doc);
        assembly.slots.values().for_each(|it| look(format!("slot {}", it.name.text), &it.doc));
        assembly.joins.iter().for_each(|it| look(format!("join {}", it.name.text), &it.doc));
        assembly.facts.values().map(|it| &model[*it]).for_each(|it| look(it.name.text.clone(), &it.about.doc));
    }
    for it in &model.functions {
        look(format!("function {}", it.name.text), &it.doc);
    }
    for (name, it) in &model.cautions {
        look(format!("caution {name}"), &it.text);
    }
    for standard in &model.standards {
        for field in standard.fields.iter().map(|it| &model[*it]) {
            look(
                format!("{}.{}.{}", model[standard.interface].name.text, standard.name.text, field.name.text),
                &field.about.doc,
            );
        }
    }
    assert!(silent.is_empty(), "these say not what they are: {silent:?}");
}

#[test]
fn what_is_remembered_is_marked_as_such() {
    let trade = trade();
    let remembered = |about: &About| about.sources.iter().any(|it| it.standing.text == "memory");
    let rules = trade.model.joints.iter().flat_map(|it| &it.rules).map(|it| (&it.code.text, &it.words.about));
    let standards = trade.model.standards.iter().map(|it| (&it.name.text, &*it.about));
    let mut seen = 0;
    for (name, _) in rules.chain(standards).filter(|(_, about)| remembered(about)) {
        assert!(page(&trade, name).contains("memory, NOT LOOKED UP"), "{name}");
        seen += 1;
    }
    assert!(seen > 5, "{seen}");
}

/// What a page must say of where something is known from.
fn sources(about: &About) -> Vec<String> {
    assert!(!about.sources.is_empty(), "{} has no source", about.doc);
    about
        .sources
        .iter()
        .flat_map(|it| [it.standing.text.clone(), it.text.as_ref().map(|it| it.text.clone()).unwrap_or_default()])
        .collect()
}
