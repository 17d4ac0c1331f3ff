//! `catchwork.vim`: held against the worksheets by Vim itself where the machine has it, and as a text everywhere.

use crate::roles::{CAUTION, CHART, CHECK, ENTRY, NOTE, NUMBER, REMARK, RESULT, ROW, SECTION, STRING, TITLE};
use crate::{file, hold, sheets};
use catchwork::checked::model::FUNCTIONS;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::Path;
use std::process::{Command, Stdio};

/// The groups that stand for roles, and the roles.
const GROUPS: [(&str, u16); 13] = [
    ("catchworkTitle", TITLE),
    ("catchworkSection", SECTION),
    ("catchworkNote", NOTE),
    ("catchworkCaution", CAUTION),
    ("catchworkCheck", CHECK),
    ("catchworkChart", CHART),
    ("catchworkEntry", ENTRY),
    ("catchworkResult", RESULT),
    ("catchworkRow", ROW),
    ("catchworkRemark", REMARK),
    ("catchworkRowRemark", REMARK),
    ("catchworkString", STRING),
    ("catchworkNumber", NUMBER),
];

/// What Vim does: it reads each sheet, `N.worksheet`, and writes the roles of each line's bytes to `N.roles`, four
/// digits a byte.
const SCRIPT: &str = r#"
" Only the innermost group is asked for at every byte, since Vim takes long to tell of all of them.
function! Role(id)
  return get(g:roles, synIDattr(a:id, 'name'), 0)
endfunction
for number in range(g:sheets)
  execute 'edit' number . '.worksheet'
  syntax clear
  unlet! b:current_syntax
  execute 'source' fnameescape(g:syntax_file)
  let lines = []
  for line in range(1, line('$'))
    let around = 0
    for id in synstack(line, 1)
      let around = or(around, Role(id))
    endfor
    let around = and(around, g:roles['catchworkRow'])
    let bytes = range(1, strlen(getline(line)))
    call add(lines, join(map(bytes, 'printf("%04x", or(around, Role(synID(line, v:val, 1))))'), ''))
  endfor
  call writefile(lines, number . '.roles')
endfor
qall!
"#;

#[test]
fn vim_finds_the_roles_of_every_sheet() {
    if Command::new("vim").arg("--version").stdout(Stdio::null()).status().is_err() {
        // The tests do not bring an editor with them; what can be said without one is said below.
        return;
    }
    let sheets: Vec<_> = sheets().into_iter().filter(|source| !source.text.contains('\r')).collect();
    let folder = tempfile::TempDir::new().unwrap();
    for (number, source) in sheets.iter().enumerate() {
        std::fs::write(folder.path().join(format!("{number}.worksheet")), &*source.text).unwrap();
    }
    run_vim(folder.path(), sheets.len());
    for (number, source) in sheets.iter().enumerate() {
        let found = std::fs::read_to_string(folder.path().join(format!("{number}.roles"))).unwrap();
        hold(source, &roles(&source.text, &found));
    }
}

fn run_vim(folder: &Path, sheets: usize) {
    let mut script = "set encoding=utf-8 fileencodings=utf-8 fileformats=unix noswapfile hidden\n".to_owned();
    let roles: Vec<String> = GROUPS.iter().map(|(group, role)| format!("'{group}': {role}")).collect();
    writeln!(script, "let g:roles = {{{}}}", roles.join(", ")).unwrap();
    writeln!(script, "let g:sheets = {sheets}\nlet g:syntax_file = '{}'", file("catchwork.vim").display()).unwrap();
    let path = folder.join("roles.vim");
    std::fs::write(&path, script + SCRIPT).unwrap();
    let vim = Command::new("vim")
        .current_dir(folder)
        .args(["-N", "-u", "NONE", "-i", "NONE", "-e", "-s", "-S"])
        .arg(path)
        .env("LC_ALL", "C.UTF-8")
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&vim.stderr).into_owned() + &String::from_utf8_lossy(&vim.stdout);
    assert!(vim.status.success(), "{told}");
}

/// The roles that Vim wrote down, those of a line's end none.
fn roles(text: &str, found: &str) -> Vec<u16> {
    let mut roles = Vec::new();
    for (line, found) in text.split_inclusive('\n').zip(found.lines()) {
        let digits = found.as_bytes().chunks(4).map(|digits| u16::from_str_radix(str::from_utf8(digits).unwrap(), 16));
        roles.extend(digits.map(Result::unwrap));
        roles.extend(line.strip_suffix('\n').map(|_| 0));
    }
    assert_eq!(roles.len(), text.len());
    roles
}

/// The groups that some words of the file name: those after `syntax match` and so on, or those linked.
fn named<'t>(text: &'t str, starts: &[&str]) -> BTreeSet<&'t str> {
    let lines = text.lines().filter_map(|line| starts.iter().find_map(|start| line.strip_prefix(start)));
    lines.filter_map(|rest| rest.split_whitespace().next()).collect()
}

#[test]
fn every_group_of_the_vim_file_has_a_colour_or_holds_others() {
    let text = std::fs::read_to_string(file("catchwork.vim")).unwrap();
    let defined = named(&text, &["syntax match ", "syntax region "]);
    let linked = named(&text, &["highlight default link "]);
    let holds_others = |group: &&str| {
        group.ends_with("Line") || ["catchworkRow", "catchworkTemplate", "catchworkChoice"].contains(group)
    };
    let plain: BTreeSet<&str> = defined.iter().copied().filter(|group| !holds_others(group)).collect();
    assert_eq!(plain, linked);
    for (group, _) in GROUPS {
        assert!(defined.contains(group), "no line defines {group}");
    }
    for line in text.lines().filter(|line| line.contains(" contained")) {
        let group = line.split_whitespace().nth(2).unwrap();
        let is_used =
            |sign: &str| text.contains(&format!("={group}{sign}")) || text.contains(&format!(",{group}{sign}"));
        assert!([",", " ", "\n"].into_iter().any(is_used), "nothing contains {group}");
    }
}

/// Functions are told by their bracket; those of several words are listed by all but the last, and in the TextMate
/// grammar only where one of them is a word of the notation.
#[test]
fn both_files_know_the_functions_of_several_words() {
    let vim = std::fs::read_to_string(file("catchwork.vim")).unwrap();
    let textmate = std::fs::read_to_string(file("catchwork.tmLanguage.json")).unwrap();
    let names = FUNCTIONS.iter().map(|(_, name, _)| *name);
    for (name, before) in names.filter_map(|name| Some((name, name.rsplit_once(' ')?.0))) {
        assert!(vim.contains(&before.replace(' ', "\\s\\+")), "catchwork.vim does not know {name}");
        let is_odd = name.split(' ').any(|word| ["or", "of"].contains(&word));
        let is_known = textmate.contains(&name.replace(' ', "[ \\\\t]+"));
        assert!(is_known || !is_odd, "catchwork.tmLanguage.json does not know {name}");
    }
}
