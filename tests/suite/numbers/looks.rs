//! How the sheets look to a person.

use super::*;

/// A sheet of a build; a snapshot, with the command that prints it named in it.
fn looks(compiled: &Compiled, spec: &str, build: &str, name: &str, format: Format, word: &str) {
    let written = sheet(name).written(compiled, build, format);
    insta::with_settings!({
        description => format!("cotter {name} specs/{spec} --build {build} --format {word}"),
        input_file => Path::new("specs").join(spec).join(format!("{spec}.cotter")),
        omit_expression => true,
        snapshot_path => "../snapshots",
        prepend_module_to_snapshot => false,
    }, {
        insta::assert_snapshot!(format!("suite__numbers__{build}_{name}_{word}"), written);
    });
}

#[test]
fn every_sheet_of_the_winter_bike() {
    let compiled = heron(&[]);
    for sheet in SHEETS {
        looks(&compiled, "heron", "heron_winter", sheet.name, Format::Text, "text");
    }
}

#[test]
fn gears_and_geometry_of_the_tourer() {
    let compiled = curlew(&[]);
    looks(&compiled, "curlew", "curlew_tourer", "gears", Format::Text, "text");
    looks(&compiled, "curlew", "curlew_tourer", "geometry", Format::Text, "text");
}

#[test]
fn a_derailleur_that_misses_its_cogs() {
    looks(&heron(&[]), "heron", "heron_first_try", "indexing", Format::Text, "text");
}

#[test]
fn other_formats() {
    let (heron, curlew) = (heron(&[]), curlew(&[]));
    looks(&heron, "heron", "heron_winter", "gears", Format::Markdown, "markdown");
    looks(&curlew, "curlew", "curlew_tourer", "braking", Format::Markdown, "markdown");
    looks(&heron, "heron", "heron_winter", "wheels", Format::Csv, "csv");
    looks(&heron, "heron", "heron_as_bought", "indexing", Format::Csv, "csv");
    looks(&heron, "heron", "heron_winter", "geometry", Format::Json, "json");
    looks(&heron, "heron", "heron_as_bought", "chain", Format::Json, "json");
}

#[test]
fn pages_keep_to_a_hundred_columns() {
    let mut lines = 0;
    for compiled in [heron(&[]), curlew(&[])] {
        for sheet in SHEETS {
            for line in sheet.of_all(&compiled, Format::Text).lines() {
                lines += 1;
                assert!(textwrap::core::display_width(line) <= 100, "{}: {line}", sheet.name);
                assert!(!line.ends_with(' '), "{}: {line:?}", sheet.name);
            }
        }
    }
    assert!(lines > 600, "{lines}");
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    for name in ["heron", "curlew"] {
        let (one, other) = (changed(name, &[]), changed(name, &[]));
        for sheet in SHEETS {
            for (format, word) in FORMATS {
                let written = sheet.of_all(&one, format);
                assert_eq!(written, sheet.of_all(&one, format), "{name}, {}, {word}", sheet.name);
                assert_eq!(written, sheet.of_all(&other, format), "{name}, {}, {word}", sheet.name);
            }
        }
    }
}

#[test]
fn csv_has_a_row_for_each_figure_of_the_data() {
    for compiled in [heron(&[]), curlew(&[])] {
        for sheet in SHEETS {
            let data: Json = serde_json::from_str(&sheet.of_all(&compiled, Format::Json)).unwrap();
            let csv = sheet.of_all(&compiled, Format::Csv);
            let mut reader = csv::Reader::from_reader(csv.as_bytes());
            let header = ["build", "section", "row", "what", "value", "low", "high", "estimated"];
            assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), header);
            let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
            let mut figures = 0;
            for build in data["builds"].as_array().unwrap() {
                for (table, cells) in build.as_object().unwrap() {
                    let Some(cells) = cells.as_array().filter(|it| it.iter().all(|it| it.get("fact").is_none())) else {
                        continue;
                    };
                    for (number, cells) in (1..).zip(cells) {
                        let Some(cells) = cells.as_object() else { continue };
                        for (key, value) in cells.iter().filter(|(_, value)| value.is_number()) {
                            if key.ends_with("_low") || key.ends_with("_high") {
                                continue;
                            }
                            figures += 1;
                            let own = |row: &&csv::StringRecord| {
                                row[0] == *build["build"].as_str().unwrap() && row[1] == **table && row[3] == **key
                            };
                            let found = rows.iter().filter(own).any(|row| {
                                let end = |end: &str| {
                                    let end = cells.get(&format!("{key}_{end}")).unwrap_or(value);
                                    end.to_string()
                                };
                                let guess = cells.contains_key(&format!("{key}_estimated"));
                                let guess = if guess { "yes" } else { "no" };
                                (&row[4], &row[5], &row[6], &row[7])
                                    == (value.to_string().as_str(), &end("low"), &end("high"), guess)
                                    && row[2].parse() == Ok(number)
                            });
                            assert!(found, "{}: {table}, row {number}: {key} is {value}\n{csv}", sheet.name);
                        }
                    }
                }
            }
            assert!(figures > 0 || sheet.name == "indexing", "{}", sheet.name);
        }
    }
}
