//! Published figures and other derivations of gearing, chain, chainline, indexing.

use super::Published;

pub fn published() -> Vec<Published> {
    // velo.outsideonline.com, Technical FAQ: "36T root about 137-138 mm".
    vec![Published {
        source: "velo.outsideonline.com, Technical FAQ on chainring and cog compatibility",
        what: "root circle of 36 teeth".to_owned(),
        figure: 137.75,
        within: 0.75,
        computed: cotter::calc::rings::root_diameter(36.0).unwrap(),
    }]
}
