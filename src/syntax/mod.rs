#[derive(pest_derive::Parser)]
#[grammar = "../grammar/cotter.pest"]
pub struct CotterParser;
