//! Drawings of a bike from its numbers, each with the tables that belong to it.

mod anchors;
mod callouts;
mod chainline;
mod gears;
mod rooms;
mod scene;
mod side;

use super::page::Page;
use super::{chain, gears as gears_sheet, geometry, wheels, write};
use crate::drawing::Drawing;
use crate::judge::JudgedBuild;
use crate::model::Model;
use crate::sheets::render::Block;

/// Drawings and what belongs to them.
pub(crate) struct Picture {
    /// What links lead to.
    pub key: &'static str,
    /// What it is.
    pub title: &'static str,
    /// Drawings, each with what stands in its place where there are only letters.
    pub drawings: Vec<(Drawing, Vec<Block>)>,
    /// Tables, and what is not known.
    pub blocks: Vec<Block>,
    /// Warnings of the trade.
    pub cautions: Vec<&'static str>,
}

/// All pictures of a build.
pub(crate) struct Pictures {
    /// Of the whole.
    pub whole: Vec<Picture>,
    /// Of its details.
    pub details: Vec<Picture>,
    /// Tables without a drawing of their own.
    pub tables: Vec<Picture>,
}

impl Pictures {
    /// Those of a judged build. One that a build of its kind can't have is left out.
    pub fn of(model: &Model, judged: &JudgedBuild) -> Pictures {
        let build = judged.build;
        let mut gears = gears_sheet::page(model, build);
        let chart = gears::drawing(&mut gears);
        let (wheels, chain) = (wheels::page(model, build), chain::page(model, build));
        let rooms = rooms::drawings(model, judged);
        let line = chainline::drawing(model, build, &chain);
        Pictures {
            whole: side::picture(model, judged).into_iter().collect(),
            details: [
                picture("gears", "Gears", chart.into_iter().collect(), gears),
                picture("wheels", "Wheels", bare(rooms), wheels),
                picture("chain", "Chain", bare(line), chain),
            ]
            .into_iter()
            .flatten()
            .collect(),
            tables: picture("geometry", "Geometry", Vec::new(), geometry::page(model, build)).into_iter().collect(),
        }
    }
}

fn bare(drawings: impl IntoIterator<Item = Drawing>) -> Vec<(Drawing, Vec<Block>)> {
    drawings.into_iter().map(|it| (it, Vec::new())).collect()
}

/// A page with its drawings; none where there is nothing to compute.
fn picture(
    key: &'static str,
    title: &'static str,
    drawings: Vec<(Drawing, Vec<Block>)>,
    page: Page,
) -> Option<Picture> {
    if page.sections.is_empty() && page.lacks.missing.is_empty() && page.refused.is_empty() {
        return None;
    }
    let cautions = page.cautions.clone();
    Some(Picture { key, title, drawings, blocks: write::blocks(title, &[page]), cautions })
}
