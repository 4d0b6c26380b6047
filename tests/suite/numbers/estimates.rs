//! What rests on a guess is marked as a guess, and nothing else; what rests on what nobody knows is not there.
//!
//! Which figures rest on a fact is found out by writing other numbers for it: those rest on it that move.

use super::*;
use std::collections::BTreeSet;
use std::sync::OnceLock;

/// Where a figure stands: its table, what its row is about, its key.
type Place = (String, String, String);

/// A fact of a demo, some other numbers that it might have, and figures that rest on it although none of these moves them.
struct Fact {
    demo: &'static str,
    build: &'static str,
    /// How it is written, with `{}` for the number.
    written: &'static str,
    now: &'static str,
    others: &'static [&'static str],
    /// Sheets on which it is read.
    sheets: &'static [&'static str],
    /// Its path, as a sheet tells it.
    path: &'static str,
}

const fn fact(
    build: &'static str,
    written: &'static str,
    now: &'static str,
    others: &'static [&'static str],
    sheets: &'static [&'static str],
    path: &'static str,
) -> Fact {
    Fact { demo: "heron", build, written, now, others, sheets, path }
}

const WINTER: &str = "heron_winter";
const BOUGHT: &str = "heron_as_bought";

#[rustfmt::skip]
const FACTS: &[Fact] = &[
    fact(WINTER, "\"42, steel, never ridden\" { source = bin; mass = 120 g; mount = 5x110; teeth = {} }", "42", &["38", "47"], &["gears", "chain"], "ring.big.teeth"),
    fact(WINTER, "cogs      = [{}]", "19", &["16", "23"], &["gears", "chain"], "rear.cogs.cogs"),
    fact(WINTER, "ratios              = [{}, 0.74, 0.85, 1, 1.17, 1.35, 1.58]", "0.63", &["0.5", "0.7"], &["gears"], "rear.hub.ratios"),
    fact(WINTER, "bike_mass         = {}", "17 kg", &["12 kg", "30 kg"], &["gears", "wheels"], "bike_mass"),
    fact(WINTER, "rear_load         = {}", "12 kg", &["1 kg", "30 kg"], &["gears", "wheels"], "rear_load"),
    fact(WINTER, "  chainline  = {}\n  inside", "42.5 mm", &["40 mm", "45 mm"], &["chain"], "crank.chainline"),
    fact(WINTER, "cog_inset           = {}", "21 mm", &["18 mm", "22 mm"], &["chain"], "rear.hub.cog_inset"),
    fact(WINTER, "spindle = jis({})\n}\n\npart seven", "113 mm", &["110 mm", "119 mm"], &["chain"], "bottom_bracket.spindle.length"),
    fact(WINTER, "rear.travel        = {}", "16 mm", &["4 mm", "29 mm"], &["chain"], "frame.rear.travel"),
    fact(WINTER, "chainstay.length   = {}", "445 mm", &["443 mm", "451.3 mm"], &["chain", "geometry"], "frame.chainstay.length"),
    fact(WINTER, "flange.left.circle  = {}\n  flange.right.circle = 84", "84 mm", &["60 mm", "90 mm"], &["wheels"], "rear.hub.flange.left.circle"),
    fact(WINTER, "flange.right.offset = {}\n  flange.hole         = 2.9", "25 mm", &["19 mm", "35 mm"], &["wheels"], "rear.hub.flange.right.offset"),
    fact(WINTER, "flange.hole         = {}", "2.9 mm", &["2.2 mm", "3.2 mm"], &["wheels"], "rear.hub.flange.hole"),
    fact(WINTER, "erd          = {}", "600 mm", &["590.3 mm", "606.1 mm"], &["wheels"], "front.rim.erd"),
    fact(WINTER, "pressure_max = {}", "6 bar", &["3 bar", "5.5 bar"], &["wheels"], "front.rim.pressure_max"),
    fact(WINTER, "  gap           = {}", "52 mm", &["45 mm", "60 mm"], &["wheels"], "fork.gap"),
    fact(WINTER, "rear.reach         = {}", "370 mm", &["360 mm", "380 mm"], &["wheels"], "frame.rear.reach"),
    fact(WINTER, "  width  = {}\n  wheel  = 622", "42 mm", &["40 mm", "50 mm"], &["wheels"], "front.mudguard.width"),
    fact(WINTER, "head.angle         = {}", "71.5 deg", &["70 deg", "73 deg"], &["geometry"], "frame.head.angle"),
    fact(WINTER, "seat.angle         = {}", "72.5 deg", &["70 deg", "74 deg"], &["geometry"], "frame.seat.angle"),
    fact(WINTER, "drop               = {}", "62 mm", &["50 mm", "75 mm"], &["geometry"], "frame.drop"),
    fact(WINTER, "wheelbase          = {}", "1062 mm", &["1040 mm", "1091 mm"], &["geometry", "braking"], "frame.wheelbase"),
    fact(WINTER, "head.length        = {}", "150 mm", &["110 mm", "190 mm"], &["geometry"], "frame.head.length"),
    fact(WINTER, "offset        = {}", "47 mm", &["40 mm", "60 mm"], &["geometry"], "fork.offset"),
    fact(WINTER, "  length         = {}\n  angle          = 6", "60 mm", &["40 mm", "110 mm"], &["geometry"], "stem.length"),
    fact(WINTER, "angle          = {}", "6 deg", &["-6 deg", "17 deg"], &["geometry"], "stem.angle"),
    fact(WINTER, "reach         = {}\n  rise          = 30", "-45 mm", &["-10 mm", "-60 mm"], &["geometry"], "bar.reach"),
    fact(WINTER, "  height  = {}", "35 mm", &["20 mm", "60 mm"], &["geometry"], "stem_adapter.height"),
    fact(WINTER, "saddle_height    = {}", "740 mm", &["700 mm", "790 mm"], &["geometry"], "saddle_height"),
    fact(WINTER, "saddle_setback   = {}", "55 mm", &["30 mm", "80 mm"], &["geometry"], "saddle_setback"),
    fact(WINTER, "pedal_edge        = {}", "165 mm", &["150 mm", "180 mm"], &["geometry"], "pedal_edge"),
    fact(WINTER, "  length     = {}\n  chainline  = 42.5", "170 mm", &["150 mm", "180 mm"], &["gears", "geometry"], "crank.length"),
    fact(BOUGHT, "rider            = {}", "72 kg", &["60 kg", "99 kg"], &["gears", "wheels"], "rider"),
    fact(BOUGHT, "pitch  = {}", "5.0 mm", &["4.8 mm", "5.5 mm"], &["chain", "indexing"], "rear.cogs.pitch"),
    fact(BOUGHT, "pull = {}, clicks = 6", "2.9 mm", &["2.3 mm", "4 mm"], &["indexing"], "right_shifter.output.pull"),
    fact(BOUGHT, "ratio = {}", "1.7", &["1.4", "2"], &["indexing"], "rear_derailleur.input.ratio"),
    fact(BOUGHT, "cog_gap     = {}", "3.5 mm", &["2.6 mm", "5 mm"], &["chain"], "rear.hub.cog_gap"),
];

impl Fact {
    /// The demo with this fact written as it is now or otherwise, and every other guess in it as if it were known.
    fn with(&self, value: &str) -> Compiled {
        let mut texts = demo(self.demo);
        let mut found = 0;
        for text in texts.values_mut() {
            let mut now = squeezed(&String::from_utf8(text.clone()).unwrap());
            // No other guess or tolerance may blur what is looked at.
            now = now.replace(" ± 0.3 deg", "").replace(" ± 2 mm", "").replace(" ± 1 mm", "").replace('~', "");
            let written = squeezed(self.written);
            let here = written.replace("{}", self.now);
            found += now.matches(&here).count();
            *text = now.replace(&here, &written.replace("{}", value)).into_bytes();
        }
        assert_eq!(found, 1, "{}", self.written);
        let all = compiled(texts, &format!("{}.cotter", self.demo));
        let mistakes: Vec<&str> =
            all.diagnostics.iter().filter(|it| it.build.is_none()).map(|it| it.message.as_str()).collect();
        assert!(mistakes.is_empty(), "{} = {value}: {mistakes:?}", self.path);
        all
    }
}

/// What all sheets say of a fact's build, with the fact written as it is, as a guess, as unknown, and as other numbers.
struct Said {
    known: Vec<Json>,
    guessed: Vec<Json>,
    open: Vec<Json>,
    others: Vec<Vec<Json>>,
}

/// Of every fact; compiled once for both tests.
fn said() -> &'static [Said] {
    static ALL: OnceLock<Vec<Said>> = OnceLock::new();
    ALL.get_or_init(|| {
        let one = |fact: &Fact| {
            let with = |value: &str| {
                let compiled = fact.with(value);
                SHEETS.map(|it| it.data(&compiled, fact.build)).to_vec()
            };
            Said {
                known: with(fact.now),
                guessed: with(&format!("~{}", fact.now)),
                open: with("?"),
                others: fact.others.iter().map(|it| with(it)).collect(),
            }
        };
        FACTS.iter().map(one).collect()
    })
}

/// Each figure of a sheet by its place: table, row as its words name it, key.
fn figures(data: &Json) -> BTreeMap<Place, &Json> {
    let mut all = BTreeMap::new();
    for (table, rows) in data.as_object().unwrap() {
        for row in
            rows.as_array().into_iter().flatten().filter_map(Json::as_object).filter(|it| !it.contains_key("fact"))
        {
            // What a row is about; of a whole number of links, that number.
            let name: Vec<String> = ["build", "gear", "what", "measure", "wheel", "side", "cog"]
                .iter()
                .filter_map(|key| row.get(*key))
                .map(|it| it.as_str().map_or_else(|| it.to_string(), str::to_owned))
                .collect();
            let name = if *table == "fits" { row["links"].to_string() } else { name.join(" ") };
            for (key, value) in row {
                // A table of gears counts its cogs, and that is no figure.
                if *table != "clicks" || key != "cog" {
                    all.insert((table.clone(), name.clone(), key.clone()), value);
                }
            }
        }
    }
    all
}

/// Names of gears and of cogs have their teeth in them: then the same row has another name.
fn unnamed(places: BTreeSet<Place>, fact: &Fact) -> BTreeSet<Place> {
    if !fact.path.ends_with("teeth") && !fact.path.ends_with("cogs") {
        return places;
    }
    let name = |name: String| {
        let words: Vec<&str> = name.split_whitespace().collect();
        let teeth = |word: &&str| word.trim_end_matches(',').parse::<f64>().is_ok() && word.len() > 1;
        words.iter().map(|it| if teeth(it) { "n" } else { it }).collect::<Vec<_>>().join(" ")
    };
    places.into_iter().map(|(table, row, key)| (table, name(row), key)).collect()
}

/// Keys of figures that are marked as estimated.
fn marked(data: &Json) -> BTreeSet<Place> {
    let figures = figures(data);
    let own = figures.keys().filter_map(|(table, row, key)| {
        key.strip_suffix("_estimated").map(|key| (table.clone(), row.clone(), key.to_owned()))
    });
    own.collect()
}

/// Figures that another number moves, or that are only there with one of the two.
fn moved(one: &Json, other: &Json, fact: &Fact) -> BTreeSet<Place> {
    let (one, other) = (figures(one), figures(other));
    let mut all = BTreeSet::new();
    let named = |figures: &BTreeMap<Place, &Json>| -> BTreeMap<Place, Json> {
        let plain = |place: &Place| unnamed(BTreeSet::from([place.clone()]), fact).into_iter().next().unwrap();
        figures.iter().map(|(place, value)| (plain(place), (*value).clone())).collect()
    };
    let (one, other) = (named(&one), named(&other));
    for (place, value) in &one {
        // That so many links will do rests on what brings the row there; its other figures on what they are computed from.
        let there = place.0 != "fits" || place.2 == "links" || other.contains_key(place);
        if value.is_number() && there && other.get(place) != Some(value) {
            all.insert(place.clone());
        }
    }
    all
}

#[test]
fn what_rests_on_a_guess_is_marked_and_nothing_else() {
    let (mut seen, mut faults) = (0, Vec::new());
    for (fact, said) in FACTS.iter().zip(said()) {
        for (at, sheet) in SHEETS.into_iter().enumerate() {
            let mut fault = |what: &str, places: &[&Place]| {
                if !places.is_empty() {
                    faults.push(format!("{} on {}: {what}: {places:?}", fact.path, sheet.name));
                }
            };
            let (plain, guessed) = (&said.known[at], &said.guessed[at]);
            fault("marked without a guess", &marked(plain).iter().collect::<Vec<_>>());
            let marks = unnamed(marked(guessed), fact);
            let rests: BTreeSet<Place> = said.others.iter().flat_map(|other| moved(plain, &other[at], fact)).collect();
            seen += rests.len();
            let expected = fact.sheets.contains(&sheet.name);
            fault("not read there", &rests.iter().filter(|_| !expected).collect::<Vec<_>>());
            let still: Place = ("nothing".to_owned(), "moves".to_owned(), String::new());
            fault("is read there", &[&still][..usize::from(expected && rests.is_empty())]);
            fault("rest on it and are not marked", &rests.difference(&marks).collect::<Vec<_>>());
            let beside = marks.difference(&rests).filter(|place| !stays(fact, place));
            fault("are marked and do not rest on it", &beside.collect::<Vec<_>>());
            // The guess is taken at its word: the figures are the same.
            let (plain, guessed) = (figures(plain), figures(guessed));
            let other = plain.iter().filter(|(place, value)| value.is_number() && guessed.get(*place) != Some(*value));
            fault("are other figures", &other.map(|(place, _)| place).collect::<Vec<_>>());
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(seen > 300, "{seen}");
}

/// Figures that rest on a fact, though another number of it does not move them.
fn stays(fact: &Fact, (table, row, key): &Place) -> bool {
    let whole = ["links", "order_mm"].contains(&key.as_str());
    match (fact.path, table.as_str()) {
        // How many gears can be told apart rests on all their ratios.
        ("ring.big.teeth" | "rear.cogs.cogs" | "rear.hub.ratios", "range") => row.starts_with("of them different"),
        // Whole numbers: they would move, had it been written a little otherwise.
        (_, "fits" | "spokes") if whole => true,
        // The figure of both bikes moves by as much, so that nothing is left between them.
        (_, "geometry" | "braking" | "range") => key.starts_with("difference"),
        // The middle cog stays where it is, and the chain runs straight there.
        ("frame.chainstay.length", "chainline") => row == "42 x 19" && key == "angle_deg",
        ("rear.cogs.pitch", "chainline") => row.starts_with("38 x ") && key == "ring_line_mm",
        (_, "clicks") => row == "4" && ["error_mm", "cage_at_mm"].contains(&key.as_str()),
        // All seven cogs are met, or would be.
        (_, "indexing") => row == "cogs that it meets",
        // One side is the whole, whichever it is.
        (_, "spokes") => key == "tension_percent",
        _ => false,
    }
}

#[test]
fn what_rests_on_what_nobody_knows_is_not_there_and_what_to_measure_is_said() {
    let mut faults = Vec::new();
    let library = super::super::house::library();
    for (fact, said) in FACTS.iter().zip(said()) {
        for (at, sheet) in SHEETS.into_iter().enumerate() {
            let mut fault = |what: String| faults.push(format!("{} on {}: {what}", fact.path, sheet.name));
            let (plain, open) = (&said.known[at], &said.open[at]);
            let told: Vec<&Json> =
                open["unknown"].as_array().unwrap().iter().filter(|it| it["fact"] == fact.path).collect();
            if !fact.sheets.contains(&sheet.name) {
                if !told.is_empty() {
                    fault("is asked for without need".to_owned());
                }
                continue;
            }
            let Some(told) = told.first() else {
                fault(format!("is not asked for: {}", open["unknown"]));
                continue;
            };
            // Said just as the library says it.
            let mut declared = library.declared.iter().map(|it| &it.about);
            let same = |it: &str, own: &str| told[it] == own;
            if !declared.any(|it| same("what", &it.doc) && same("measure", it.measure.as_deref().unwrap_or(""))) {
                fault(format!("is told in other words: {told}"));
            }
            if !strings(open, "refused").is_empty() {
                fault(format!("is taken for wrong: {}", open["refused"]));
            }
            let rests: BTreeSet<Place> = said.others.iter().flat_map(|other| moved(plain, &other[at], fact)).collect();
            let there = figures(open);
            let number = |place: &&Place| there.get(*place).is_some_and(|it| it.is_number());
            let guessed: Vec<&Place> = rests.iter().filter(number).filter(|it| !otherwise(fact, it)).collect();
            if !guessed.is_empty() {
                fault(format!("are there all the same: {guessed:?}"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Figures that there is another way to.
fn otherwise(fact: &Fact, (table, ..): &Place) -> bool {
    match fact.path {
        // Chainline and slack take the usual pitch where nobody measured it.
        "rear.cogs.pitch" => table == "chainline",
        _ => false,
    }
}
