//! Names and words that would do something stay words.

use super::{report, reports, sound, spec};

/// Words that would run, end what they stand in, turn the writing round, or leave the page.
const WORDS: &str = "</title></style><script>alert(1)</script><img src=x onerror=alert(1)>'`&lt; & ]]> <!-- \u{202e}evil\u{202c} \u{1b}[31m";

fn hostile() -> String {
    let long = "wide".repeat(900);
    let words = WORDS.replace('"', "");
    format!(
        "assembly pair \"{words}\" {{ slot frame : frame \"{words}\"; slot rear.hub : hub\n\
         join axle \"{words}\" = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material, hub = rear.hub, end = rear) }}\n\
         part f : frame \"{words}\" {{ note = \"{words}\"; material = steel; rear.dropout = open(126 mm) }}\n\
         part מסגרת : hub \"{long}\" {{ axle = qr(150 mm) }}\n\
         build أحمر : pair \"{words}\" {{ frame = f; rear.hub = מסגרת }}\n\
         build unknown : pair {{ frame = f; rear.hub = ? }}\n"
    )
}

#[test]
fn words_stay_words() {
    let unit = spec(&hostile());
    assert_eq!(unit.builds.len(), 2);
    for it in reports(&unit) {
        let (html, markdown) = (it.html(), it.markdown());
        let page = sound(&html);
        assert!(page.select("[onerror], [onload], [onclick]").is_empty());
        assert!(page.select("body").text().contains("<script>alert(1)</script>"), "it is there to be read");
        for text in [&html, &markdown] {
            assert!(!text.contains(['\u{202e}', '\u{202c}', '\u{1b}']), "nothing steers the writing");
        }
        let tags = markdown.match_indices("<script");
        assert!(tags.clone().count() > 0, "it is there to be read");
        assert!(tags.clone().all(|(at, _)| markdown[..at].ends_with('\\')), "escaped in Markdown too");
    }
}

#[test]
fn names_in_other_writings_are_kept() {
    let page = sound(&report(&spec(&hostile()), "أحمر").html());
    assert_eq!(page.select("h1").text().to_string(), "أحمر");
    assert!(page.select("#joints").text().contains("מסגרת"));
}
