fn main() {
    let t0 = std::time::Instant::now();
    for f in std::env::args().skip(1) {
        let c = cotter::compile(&cotter::source::Disk::below("/"), &f, "/").map_err(|_| ()).or_else(|_| Err(())).unwrap();
        println!("{}", cotter::diagnose::screen::render(&c.files, &c.diagnostics));
        for b in &c.builds {
            println!("{}: {} fit, {} clash, {} open", c.model[b.build].name.text, b.count(cotter::judge::Verdict::Fits), b.count(cotter::judge::Verdict::Clashes), b.count(cotter::judge::Verdict::Open));
        }
    }
    eprintln!("{:?}", t0.elapsed());
}
