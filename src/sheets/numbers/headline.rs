//! The few figures that tell one bike from another: its range of gears, and how it stands.

use super::figure::Figure;
use super::page::{Cell, Page};
use super::{gears, geometry};
use crate::model::{BuildId, Model};

/// A figure that sheets show side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Headline {
    /// The sheet that it is from: its command.
    pub sheet: &'static str,
    /// What it is.
    pub what: String,
    /// Itself.
    pub figure: Figure,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
    /// Digits after the point.
    pub decimals: usize,
}

impl Headline {
    /// As a person reads it.
    pub fn shown(&self) -> String {
        match self.unit {
            "" => self.figure.shown(self.decimals),
            unit => format!("{} {unit}", self.figure.shown(self.decimals)),
        }
    }
}

/// Those of a build that can be computed.
pub fn headlines(model: &Model, build: BuildId) -> Vec<Headline> {
    let mut all = of_section("gears", &gears::page(model, build), "range");
    all.extend(of_section("geometry", &geometry::page(model, build), "geometry"));
    all
}

fn of_section(sheet: &'static str, page: &Page, key: &str) -> Vec<Headline> {
    let mut all = Vec::new();
    for section in page.sections.iter().filter(|it| it.key == key) {
        let Some(now) = section.columns.iter().position(|it| it.key == "now") else { continue };
        for row in &section.rows {
            if let (Some(Cell::Words(what)), Some(Cell::Of(figure, unit, decimals))) = (row.first(), row.get(now)) {
                all.push(Headline { sheet, what: what.clone(), figure: *figure, unit, decimals: *decimals });
            }
        }
    }
    all
}
