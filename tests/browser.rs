//! Pages as a browser shows them: cards print to one page, keep to a telephone's width, and pass an automatic check of
//! accessibility. The browser is headless Chromium, which `.ci/run` installs with the rules of that check (axe-core,
//! from the Python package that carries it); where a machine has neither, only `.ci/run` asks for them.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

#[path = "browser/injections.rs"]
mod injections;

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use tempfile::TempDir;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// Where `.ci/run` puts the rules.
const AXE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/target/axe/axe_core_python/axe.min.js");

/// Without these Chromium asks the network for this and that at each start.
const QUIET: [&str; 8] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
];

/// A card is as good as the longest that still has to fit: mixes with several products, records, tables, charts.
const CARDS: [&str; 8] = [
    "worksheets/example/mixes/2026-04-08-weeds-all-beds.worksheet",
    "worksheets/example/mixes/2026-03-24-granule-doses.worksheet",
    "worksheets/example/calibration/spreader-a-tomas-pattern.worksheet",
    "worksheets/example/calibration/green-1-wren-strip.worksheet",
    "worksheets/methods/tank-mix.worksheet",
    "worksheets/methods/job-record.worksheet",
    "worksheets/methods/equipment.worksheet",
    "worksheets/methods/spreader-pattern.worksheet",
];

/// Whether what is wanted is there. Under `.ci/run` it has to be.
fn has(what: &str, is_there: bool) -> bool {
    assert!(is_there || std::env::var_os("CI").is_none(), "{what} is missing, and .ci/run should have installed it");
    is_there
}

fn has_browser() -> bool {
    let version = Command::new("chromium").arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status();
    has("chromium", version.is_ok())
}

/// What the browser prints when it opens a page with these options.
fn browse(folder: &TempDir, page: &Path, options: &[&str]) -> String {
    let own = format!("--user-data-dir={}", folder.path().join("browser").display());
    let address = format!("file://{}", page.display());
    let output = Command::new("chromium")
        .args(QUIET)
        .arg(own)
        .args(options)
        .arg(address)
        .stderr(Stdio::null())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}: {}", page.display(), output.status);
    String::from_utf8(output.stdout).unwrap()
}

fn card(sheet: &str) -> String {
    let folder = TempDir::new().unwrap();
    let out = folder.path().join("card.html");
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("catchwork");
    command.current_dir(ROOT).args(["card", sheet, "--today", "2026-07-01", "--out"]).arg(&out);
    let output = command.output().unwrap();
    assert!(matches!(output.status.code(), Some(0 | 1)), "{sheet}: {}", String::from_utf8_lossy(&output.stderr));
    fs::read_to_string(out).unwrap()
}

fn results(sheet: &str) -> String {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("catchwork");
    let output = command.current_dir(ROOT).args(["results", sheet, "--today", "2026-07-01", "--as", "html"]).output();
    String::from_utf8(output.unwrap().stdout).unwrap()
}

/// The page as a test looks at it: it forbids scripts, and so would forbid the looking.
fn open_to_scripts(page: &str) -> String {
    let policy = page.lines().find(|line| line.contains("Content-Security-Policy")).unwrap();
    page.replace(policy, "")
}

fn pages_on(paper: &str, page: &str) -> usize {
    let folder = TempDir::new().unwrap();
    let (html, pdf) = (folder.path().join("card.html"), folder.path().join("card.pdf"));
    let sized = page.replace("@page { margin: 9mm; }", &format!("@page {{ margin: 9mm; size: {paper}; }}"));
    assert_ne!(sized, page);
    fs::write(&html, sized).unwrap();
    browse(&folder, &html, &["--no-pdf-header-footer", &format!("--print-to-pdf={}", pdf.display())]);
    let bytes = fs::read(pdf).unwrap();
    bytes.split(|byte| *byte == b'\n').filter(|line| line.ends_with(b"/Type /Page")).count()
}

#[test]
fn cards_print_to_one_page() {
    if !has_browser() {
        return;
    }
    for sheet in CARDS {
        let page = card(sheet);
        for paper in ["A4", "letter"] {
            assert_eq!(pages_on(paper, &page), 1, "{sheet} on {paper}");
        }
    }
    // The count can tell one page from two.
    let long = card(CARDS[0]).replace("</main>", &("<p>and</p>".repeat(100) + "</main>"));
    assert!(pages_on("A4", &long) > 1);
}

/// How wide a page is on a telephone of 360 px: wider than that it would have to be pushed aside to be read. A bar of
/// 15 px beside it is the desktop's.
fn width_on_a_telephone(page: &str) -> String {
    let folder = TempDir::new().unwrap();
    let frame = folder.path().join("frame.html");
    let held = open_to_scripts(page).replace('&', "&amp;").replace('"', "&quot;");
    let script = "<script>onload = () => { const page = document.querySelector('iframe').contentDocument.documentElement; \
                  document.title = 'width ' + page.scrollWidth; }</script>";
    fs::write(&frame, format!("{script}<iframe width=375 height=640 style='border:0' srcdoc=\"{held}\"></iframe>"))
        .unwrap();
    let seen = browse(&folder, &frame, &["--dump-dom"]);
    let (_, rest) = seen.split_once("<title>width ").expect("a width");
    rest.split('<').next().unwrap().to_owned()
}

#[test]
fn cards_keep_to_the_width_of_a_telephone() {
    if !has_browser() {
        return;
    }
    for sheet in CARDS {
        assert_eq!(width_on_a_telephone(&card(sheet)), "360", "{sheet}");
    }
    let wide = card(CARDS[0]).replace("</main>", "<div style='width:500px'>wide</div></main>");
    assert_ne!(width_on_a_telephone(&wide), "360");
}

/// What the rules object to, one a line: rule, and where.
fn objections(page: &str) -> String {
    let folder = TempDir::new().unwrap();
    let html = folder.path().join("page.html");
    fs::copy(AXE, folder.path().join("axe.js")).unwrap();
    let run = "<script src=axe.js></script><script>axe.run().then(found => { const all = found.violations.map(one => \
               one.id + ': ' + one.nodes.map(node => node.target).join(', ')); const told = document.createElement('pre'); \
               told.id = 'told'; told.textContent = 'passed ' + found.passes.length + '\\n' + all.join('\\n'); \
               document.body.append(told); })</script></body>";
    fs::write(&html, open_to_scripts(page).replace("</body>", run)).unwrap();
    let seen = browse(&folder, &html, &["--virtual-time-budget=20000", "--allow-file-access-from-files", "--dump-dom"]);
    let (_, told) = seen.split_once("<pre id=\"told\">passed ").expect("the rules were run");
    let told = told.split("</pre>").next().unwrap();
    let (passed, objections) = told.split_once('\n').unwrap();
    assert!(passed.parse::<usize>().unwrap() > 10, "hardly a rule was looked at: {told}");
    objections.to_owned()
}

#[test]
fn pages_pass_the_check_of_accessibility() {
    if !has_browser() || !has("axe-core", Path::new(AXE).exists()) {
        return;
    }
    for sheet in CARDS {
        assert_eq!(objections(&card(sheet)), "", "card of {sheet}");
        assert_eq!(objections(&results(sheet)), "", "results of {sheet}");
    }
    let worse = card(CARDS[0]).replace("<html lang=\"en\"", "<html");
    assert!(objections(&worse).starts_with("html-has-lang"));
}
