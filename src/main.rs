use cotter::syntax::*;
use pest::Parser;
fn main() {
    for f in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&f).unwrap();
        match CotterParser::parse(Rule::file, &text) {
            Err(e) => println!("{f}: {e}"),
            Ok(pairs) => {
                let mut n = 0;
                for p in pairs.flatten() {
                    if matches!(p.as_rule(), Rule::bad_item | Rule::bad_line | Rule::missing_close) {
                        n += 1;
                        let (l, c) = p.as_span().start_pos().line_col();
                        println!("{f}:{l}:{c}: {:?}: {}", p.as_rule(), p.as_str().lines().next().unwrap_or(""));
                    }
                }
                println!("{f}: {n} bad stretches");
            }
        }
    }
}
