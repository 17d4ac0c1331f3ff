//! Text that would be markup or script, put into every place of a worksheet where text may stand, and looked at as the
//! browser understands the pages: the same elements with the same attributes as of a worksheet that holds plain words
//! there, and no script has run. `injections.txt` holds the texts, one a line.

use super::{browse, has_browser, open_to_scripts};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const TEXTS: &str = include_str!("injections.txt");

/// A worksheet with a text in each place that takes any: `TEXT` stands for it, `BARE` for it without what ends the place.
const SHEET: &str = r#"# TEXT

! TEXT
-- TEXT
## TEXT
site NUMBER     : "TEXT" -- TEXT
width NUMBER    : 28 in ± 1 in -- TEXT
emergency       : "TEXT"
person          : "TEXT"
scale NUMBER    : ____ in -- TEXT
area NUMBER     = width NUMBER * 2 ft [ft²] -- TEXT
| plots NUMBER | length : ft | kind : text | double = length * 2 [ft] |
| CELL | 3 | "TEXT" | -- TEXT
| "a TEXT" | 4 | CELL |

| beds NUMBER from "FILE.csv" | length : ft | kind : text |
? LABEL : width NUMBER more than 40 in else TEXT
? a LABEL : scale NUMBER more than 40 in else TEXT
~ LABEL : plots NUMBER.double by plots NUMBER.length
"#;

/// The sheet with a text in its places, in a crew folder whose files are called so too.
fn desk(text: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    // What ends a text in its place goes out of it there: a quote, a bar, a colon, a remark, a stroke in a file's name.
    let quoted = text.replace('"', "'").replace(" -- ", " ").replace('|', "/");
    let label = quoted.replace(':', ";");
    let file = quoted.replace('/', "∕").replace(['*', '?', '['], "");
    let sheet = SHEET
        .replace("\"TEXT\"", &format!("\"{quoted}\""))
        .replace("\"a TEXT\"", &format!("\"a {quoted}\""))
        .replace("LABEL", &label)
        .replace("CELL", &format!("\"b {quoted}\""))
        .replace("FILE", &file)
        .replace("TEXT", &quoted)
        .replace(" NUMBER", "");
    let data = format!("beds,length (ft),kind,{0}\n{0},3,{0},{0}\n", format!("\"{}\"", text.replace('"', "\"\"")));
    fs::write(folder.path().join(format!("{file}.csv")), data).unwrap();
    fs::write(folder.path().join(format!("{file}.worksheet")), sheet).unwrap();
    folder
}

/// A page of the only worksheet in a folder.
fn page(desk: &TempDir, form: &str) -> String {
    let entries = fs::read_dir(desk.path()).unwrap().map(|entry| entry.unwrap().path());
    let sheet = entries.into_iter().find(|path| path.extension().is_some_and(|ending| ending == "worksheet")).unwrap();
    let out = desk.path().join("out.html");
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("catchwork");
    command.current_dir(desk.path());
    let output = match form {
        "card" => command.arg("card").arg(&sheet).args(["--replace", "--out"]).arg(&out).output(),
        _ => command.arg("results").arg(&sheet).args(["--as", "html"]).output(),
    };
    let output = output.unwrap();
    let says = String::from_utf8_lossy(&output.stderr);
    assert!(form == "in trouble" || matches!(output.status.code(), Some(0 | 1)), "{says}");
    if form == "card" { fs::read_to_string(out).unwrap() } else { String::from_utf8(output.stdout).unwrap() }
}

/// Has the browser tell, of each page, whether a script of its own ran, and every element with its attributes' names, those
/// that could lead elsewhere with what they say.
fn seen(pages: &[String]) -> Vec<String> {
    let folder = TempDir::new().unwrap();
    let frames: String = pages
        .iter()
        .map(|page| {
            let open = "<script>function hit() { window.was_hit = true }</script>".to_owned() + &open_to_scripts(page);
            format!("<iframe srcdoc=\"{}\"></iframe>", open.replace('&', "&amp;").replace('"', "&quot;"))
        })
        .collect();
    let script = "<pre id=told></pre><script>onload = () => setTimeout(() => { told.textContent = [...document.querySelectorAll('iframe')].map(frame => \
        (frame.contentWindow.was_hit ? 'HIT ' : '') + [...frame.contentDocument.querySelectorAll('*')].map(one => one.localName + '(' + \
        [...one.attributes].map(each => each.name + (/href|src|action|data|style|content|http-equiv|rel/.test(each.name) ? '=' + each.value : '')).join(',') + ')')\
        .join(' ')).join('\\n'); document.title = 'told' }, 500)</script>";
    let html = folder.path().join("frames.html");
    fs::write(&html, format!("<meta charset=utf-8>{frames}{script}")).unwrap();
    let dom = browse(&folder, Path::new(&html), &["--virtual-time-budget=10000", "--dump-dom"]);
    let (_, told) = dom.split_once("<pre id=\"told\">").expect("the pages were looked at");
    let told = told.split("</pre>").next().unwrap();
    told.lines().map(str::to_owned).collect()
}

/// The pages of worksheets with each text, held against the page of one with a plain word.
fn are_like_plain_words(form: &str, changed: fn(String) -> String) {
    let mut pages = vec![changed(page(&desk("word"), form))];
    pages.extend(TEXTS.lines().map(|text| changed(page(&desk(text), form))));
    let seen = seen(&pages);
    assert_eq!(seen.len(), pages.len());
    assert!(
        seen[0].matches("text(").count() > 5 && seen[0].matches(' ').count() > 60,
        "no page, no chart: {}",
        seen[0]
    );
    for (text, found) in TEXTS.lines().zip(&seen[1..]) {
        assert_eq!(found, &seen[0], "{form} with {text}");
    }
}

#[test]
fn text_is_no_markup() {
    if !has_browser() {
        return;
    }
    are_like_plain_words("results", |page| page);
    are_like_plain_words("card", |page| page);
}

/// The way of looking finds what it looks for: of the texts put into a page as they are, most are markup.
#[test]
fn markup_would_be_seen() {
    if !has_browser() {
        return;
    }
    let plain = page(&desk("word"), "results");
    let mut pages = vec![plain.clone()];
    pages.extend(TEXTS.lines().map(|text| plain.replacen("</main>", &format!("{text}</main>"), 1)));
    let seen = seen(&pages);
    let others = seen[1..].iter().filter(|found| **found != seen[0]).count();
    let hit = seen.iter().filter(|found| found.starts_with("HIT")).count();
    assert!(others > 25 && hit > 10, "{others} of {} are seen, {hit} ran", pages.len() - 1);
}
