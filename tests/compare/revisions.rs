//! Revisions read from git, in repositories made for the test: the worksheet as it was, with what it drew on then.

use assert_cmd::cargo::cargo_bin;
use libtest_mimic::{Failed, Trial};
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// The tests; each is a sentence about what must hold.
pub fn trials() -> Vec<Trial> {
    let trial = |name: &str, test: fn() -> Result<(), Failed>| Trial::test(format!("git: {name}"), test);
    vec![
        trial("an earlier revision of a worksheet", an_earlier_revision),
        trial("what it drew on comes from the same revision", what_it_drew_on),
        trial("two revisions, by branch, tag and number", two_revisions),
        trial("a file that is gone today", a_file_that_is_gone),
        trial("a folder that is gone today", a_folder_that_is_gone),
        trial("a crew folder within a repository", a_crew_folder_within),
        trial("links as they were", links_as_they_were),
        trial("a file whose name holds an @", a_name_with_at),
        trial("no revision, no file, no repository, no git", what_is_missing),
        trial("a revision is never taken for an option", no_option),
        trial("another repository in the surroundings is left aside", surroundings),
        trial("bytes that are no text, and too many", bytes_that_are_no_worksheet),
    ]
}

const STRIP: &str = "\
# Strip
! Water only.
length : 60 ft
width : 28 in
area = length * width [ft²]
? big : area at least 100 ft²
";

struct Repository(TempDir);

impl Repository {
    fn new() -> Self {
        let own = Self(TempDir::new().unwrap());
        own.git(&["init", "-q", "-b", "main"]);
        own
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn write(&self, name: &str, text: &str) {
        let path = self.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    fn git(&self, call: &[&str]) {
        let mut git = Command::new("git");
        git.current_dir(self.path()).args(["-c", "user.name=Wren", "-c", "user.email=wren@example.invalid"]);
        // What the machine or a hook sets must not reach these repositories.
        git.env("GIT_CONFIG_GLOBAL", "/dev/null").env("GIT_CONFIG_NOSYSTEM", "1").env_remove("GIT_DIR");
        git.env_remove("GIT_INDEX_FILE").env_remove("GIT_WORK_TREE");
        let output = git.args(call).output().unwrap();
        assert!(output.status.success(), "git {call:?}: {}", String::from_utf8_lossy(&output.stderr));
    }

    fn commit(&self, message: &str) {
        self.git(&["add", "-A"]);
        self.git(&["commit", "-q", "-m", message]);
    }

    fn compare(&self, old: &str, new: &str) -> Run {
        self.compare_with(old, new, &[])
    }

    fn compare_with(&self, old: &str, new: &str, surroundings: &[(&str, &str)]) -> Run {
        let mut call = Command::new(cargo_bin!("catchwork"));
        call.current_dir(self.path()).args(["compare", old, new]).envs(surroundings.iter().copied());
        let output = call.output().unwrap();
        Run {
            status: output.status.code().unwrap(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

#[derive(Debug)]
struct Run {
    status: i32,
    stdout: String,
    stderr: String,
}

impl Run {
    /// Ended with a status, and says all these words somewhere.
    fn says(&self, status: i32, words: &[&str]) -> Result<(), Failed> {
        let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let all = flat(&self.stdout) + " " + &flat(&self.stderr);
        match words.iter().find(|words| !all.contains(&flat(words))) {
            None if self.status == status => Ok(()),
            Some(words) => Err(format!("`{words}` is not said: {self:#?}").into()),
            None => Err(format!("status {status} is wanted: {self:#?}").into()),
        }
    }
}

fn an_earlier_revision() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("strip.worksheet", STRIP);
    crew.commit("first");
    crew.write("strip.worksheet", &STRIP.replace("28 in", "30 in"));
    crew.compare("strip.worksheet@HEAD", "strip.worksheet").says(
        0,
        &[
            "old strip.worksheet@HEAD",
            "! Water only.",
            "width 28 in 30 in +7.14 %",
            "area 140.0 ft² 150.0 ft²",
            "by width",
        ],
    )?;
    crew.compare("strip.worksheet", "strip.worksheet@HEAD").says(0, &["width 30 in 28 in -6.67 %"])?;
    crew.commit("second");
    crew.compare("strip.worksheet@HEAD", "strip.worksheet").says(0, &["Nothing differs."])?;
    crew.compare("strip.worksheet@HEAD~1", "strip.worksheet").says(0, &["width 28 in 30 in"])?;
    crew.write("strip.worksheet", &STRIP.replace("28 in", "10 in"));
    crew.compare("strip.worksheet@HEAD", "strip.worksheet").says(1, &["big was ok", "is NO"])?;
    crew.compare("strip.worksheet", "strip.worksheet@HEAD").says(0, &["big was NO", "is ok"])
}

fn what_it_drew_on() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("methods/strip.worksheet", STRIP);
    crew.write("tools/cup.worksheet", "factor : 1.02\n");
    crew.write("beds.csv", "bed,area (ft2)\nnorth,10\nsouth,20\n");
    crew.write("jobs/2026/a.worksheet", "used : 2 oz\n");
    crew.write(
        "jobs/north.worksheet",
        "from \"../methods/strip.worksheet\"\ncup from \"../tools/cup.worksheet\"\nlength : 50 ft\n\
         | beds from \"../beds.csv\" | area : ft² |\n\n| season from \"2026/*.worksheet\" | used : oz |\n\n\
         beds in all = sum(beds.area)\nspent = sum(season.used)\ntrue area = area * cup.factor\n",
    );
    crew.commit("first");
    crew.write("methods/strip.worksheet", &STRIP.replace("28 in", "30 in"));
    crew.write("tools/cup.worksheet", "factor : 1.05\n");
    crew.write("beds.csv", "bed,area (ft2)\nnorth,10\nsouth,25\n");
    crew.write("jobs/2026/b.worksheet", "used : 3 oz\n");
    crew.compare("jobs/north.worksheet@HEAD", "jobs/north.worksheet").says(
        0,
        &[
            "width 28 in 30 in",
            "cup.factor 1.020 1.050",
            "beds.area, south 20 ft² 25 ft²",
            "beds in all 30.00 ft² 35.00 ft² +16.7 % by beds.area, south",
            "spent 2.000 oz 5.000 oz +150 % by row 2026/b.worksheet of season",
            "true area 119.0 ft² 131.3 ft²",
            "by cup.factor; width",
        ],
    )
}

fn two_revisions() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("strip.worksheet", STRIP);
    crew.commit("first");
    crew.git(&["tag", "spring"]);
    crew.git(&["checkout", "-q", "-b", "trial/wide"]);
    crew.write("strip.worksheet", &STRIP.replace("28 in", "30 in"));
    crew.commit("second");
    let wide = ["width 28 in 30 in +7.14 %"];
    crew.compare("strip.worksheet@spring", "strip.worksheet@trial/wide").says(0, &wide)?;
    crew.compare("strip.worksheet@main", "strip.worksheet@HEAD").says(0, &wide)?;
    crew.compare("strip.worksheet@HEAD^", "strip.worksheet@@").says(0, &wide)?;
    crew.compare("./strip.worksheet@HEAD@{1}", "strip.worksheet").says(0, &wide)
}

fn a_file_that_is_gone() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("old strip.worksheet", STRIP);
    crew.commit("first");
    crew.git(&["mv", "old strip.worksheet", "strip.worksheet"]);
    crew.compare("old strip.worksheet@HEAD", "strip.worksheet").says(0, &["Nothing differs."])
}

fn a_folder_that_is_gone() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("2025/jobs/strip.worksheet", STRIP);
    crew.commit("first");
    fs::remove_dir_all(crew.path().join("2025")).unwrap();
    crew.write("strip.worksheet", STRIP);
    crew.compare("2025/jobs/strip.worksheet@HEAD", "strip.worksheet").says(0, &["Nothing differs."])
}

/// Nothing outside the crew folder is drawn on, then as now.
fn a_crew_folder_within() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("crew/crew-folder.txt", "");
    crew.write("crew/jobs/north.worksheet", "cup from \"../tools/cup.worksheet\"\nall = 2 * cup.factor\n");
    crew.write("crew/tools/cup.worksheet", "factor : 1.02\n");
    crew.write("outside.worksheet", "factor : 9\n");
    crew.write("crew/jobs/out.worksheet", "cup from \"../../outside.worksheet\"\nall = 2 * cup.factor\n");
    crew.commit("first");
    crew.write("crew/tools/cup.worksheet", "factor : 1.03\n");
    crew.compare("crew/jobs/north.worksheet@HEAD", "crew/jobs/north.worksheet").says(0, &["all 2.040 2.060"])?;
    crew.compare("crew/jobs/out.worksheet@HEAD", "crew/jobs/north.worksheet")
        .says(2, &["../../outside.worksheet leads out of the crew folder"])
}

#[cfg(unix)]
fn links_as_they_were() -> Result<(), Failed> {
    use std::os::unix::fs::symlink;
    let crew = Repository::new();
    crew.write("crew-folder.txt", "");
    crew.write("tools/2025/cup.worksheet", "factor : 1.02\n");
    symlink("2025", crew.path().join("tools/now")).unwrap();
    symlink("north.worksheet", crew.path().join("link.worksheet")).unwrap();
    symlink("round.worksheet", crew.path().join("round.worksheet")).unwrap();
    symlink("/etc/hostname", crew.path().join("away.worksheet")).unwrap();
    crew.write("north.worksheet", "cup from \"tools/now/cup.worksheet\"\nall = 2 * cup.factor\n");
    crew.write("lost.worksheet", "cup from \"away.worksheet\"\nall = 2 * cup.factor\n");
    crew.commit("first");
    crew.write("tools/2025/cup.worksheet", "factor : 1.03\n");
    crew.compare("link.worksheet@HEAD", "north.worksheet").says(0, &["all 2.040 2.060"])?;
    crew.compare("round.worksheet@HEAD", "north.worksheet").says(2, &["there is no file round.worksheet@HEAD"])?;
    crew.compare("lost.worksheet@HEAD", "north.worksheet").says(2, &["away.worksheet leads out of the crew folder"])
}

#[cfg(not(unix))]
fn links_as_they_were() -> Result<(), Failed> {
    Ok(())
}

fn a_name_with_at() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("at@home/strip.worksheet", STRIP);
    crew.commit("first");
    crew.write("strip.worksheet@HEAD", &STRIP.replace("28 in", "30 in"));
    crew.write("strip.worksheet", STRIP);
    crew.compare("at@home/strip.worksheet@HEAD", "at@home/strip.worksheet").says(0, &["Nothing differs."])?;
    // A file that is there is meant, whatever its name.
    crew.compare("strip.worksheet@HEAD", "strip.worksheet").says(0, &["width 30 in 28 in"])
}

fn what_is_missing() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("strip.worksheet", STRIP);
    crew.compare("strip.worksheet@HEAD", "strip.worksheet")
        .says(2, &["the repository of strip.worksheet has no revision HEAD", "instead: one that git log shows"])?;
    crew.commit("first");
    crew.write("new.worksheet", STRIP);
    crew.compare("new.worksheet@HEAD", "new.worksheet")
        .says(2, &["revision HEAD has no file new.worksheet", "instead: its path and name as they were then"])?;
    crew.compare("strip.worksheet@HEAD~9", "strip.worksheet").says(2, &["has no revision HEAD~9"])?;
    crew.compare("strip.worksheet@", "strip.worksheet").says(2, &["strip.worksheet@ cannot be read"])?;
    crew.compare_with("strip.worksheet@HEAD", "strip.worksheet", &[("PATH", "/nowhere")])
        .says(2, &["an earlier revision is read by the program git, which cannot be run"])?;
    let plain = TempDir::new().unwrap();
    let place = plain.path().join("strip.worksheet");
    fs::write(&place, STRIP).unwrap();
    let old = format!("{}@HEAD", place.display());
    crew.compare_with(&old, "strip.worksheet", &[("GIT_CEILING_DIRECTORIES", plain.path().to_str().unwrap())])
        .says(2, &["is in no folder whose revisions git keeps"])
}

fn no_option() -> Result<(), Failed> {
    let crew = Repository::new();
    crew.write("strip.worksheet", STRIP);
    crew.commit("first");
    for revision in ["--all", "-h", "--exec=true", "HEAD;true", "$(true)"] {
        let run = crew.compare(&format!("strip.worksheet@{revision}"), "strip.worksheet");
        run.says(2, &[&format!("has no revision {revision}")])?;
    }
    Ok(())
}

fn surroundings() -> Result<(), Failed> {
    let (crew, other) = (Repository::new(), Repository::new());
    crew.write("strip.worksheet", STRIP);
    crew.commit("first");
    other.write("strip.worksheet", &STRIP.replace("28 in", "99 in"));
    other.commit("first");
    let elsewhere = other.path().join(".git");
    let set = [("GIT_DIR", elsewhere.to_str().unwrap()), ("GIT_INDEX_FILE", "none"), ("GIT_PREFIX", "none/")];
    crew.compare_with("strip.worksheet@HEAD", "strip.worksheet", &set).says(0, &["Nothing differs."])
}

fn bytes_that_are_no_worksheet() -> Result<(), Failed> {
    let crew = Repository::new();
    fs::write(crew.path().join("bytes.worksheet"), b"\xff\xfe\x00\n").unwrap();
    crew.write("long.worksheet", &"x".repeat(4 * 1024 * 1024 + 9));
    crew.write("strip.worksheet", STRIP);
    crew.write("\u{e4}pfel \u{1f34f}.worksheet", STRIP);
    crew.commit("first");
    crew.compare("bytes.worksheet@HEAD", "strip.worksheet").says(2, &["this file is no UTF-8 text"])?;
    crew.compare("long.worksheet@HEAD", "strip.worksheet").says(2, &["is longer than a file may be"])?;
    crew.compare("\u{e4}pfel \u{1f34f}.worksheet@HEAD", "strip.worksheet").says(0, &["Nothing differs."])
}
