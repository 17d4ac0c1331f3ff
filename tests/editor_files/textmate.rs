//! `catchwork.tmLanguage.json` on worksheets, by as much of a TextMate engine as it uses: `match`, `captures`,
//! `begin`/`end`, `begin`/`while`, `include`, `name` and `contentName`, line by line. Regular expressions are those of
//! fancy-regex; what the file uses of them Oniguruma, which editors have, reads alike.

use crate::roles::{CAUTION, CHART, CHECK, ENTRY, NOTE, NUMBER, REMARK, RESULT, ROW, SECTION, STRING, TITLE};
use crate::{file, hold, sheets};
use fancy_regex::Regex;
use serde_json::{Map, Value};
use std::collections::BTreeMap;
use std::ops::Range;

/// The scopes that stand for roles, and the roles.
const SCOPES: [(&str, u16); 12] = [
    ("markup.heading.1.catchwork", TITLE),
    ("markup.heading.2.catchwork", SECTION),
    ("comment.line.note.catchwork", NOTE),
    ("markup.bold.caution.catchwork", CAUTION),
    ("entity.name.tag.check.catchwork", CHECK),
    ("entity.name.tag.chart.catchwork", CHART),
    ("variable.parameter.entry.catchwork", ENTRY),
    ("variable.other.result.catchwork", RESULT),
    ("meta.row.catchwork", ROW),
    ("comment.line.remark.catchwork", REMARK),
    ("string.quoted.double.catchwork", STRING),
    ("constant.numeric.catchwork", NUMBER),
];

#[test]
fn textmate_finds_the_roles_of_every_sheet() {
    let grammar = Grammar::read();
    for source in sheets() {
        hold(&source, &grammar.roles(&source.text));
    }
}

#[test]
fn every_scope_of_the_textmate_grammar_is_well_formed() {
    let grammar = Grammar::read();
    assert_eq!(grammar.words("scopeName"), "source.catchwork");
    let mut names = Vec::new();
    collect(&Value::Object(grammar.root.clone()), &mut names);
    for name in &names {
        let is_word =
            |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit());
        assert!(name.ends_with(".catchwork") && name.split('.').all(is_word), "{name}");
    }
    for (scope, _) in SCOPES {
        assert!(names.iter().any(|name| name == scope), "no rule has the scope {scope}");
    }
}

/// The scopes of all rules but the file itself.
fn collect(value: &Value, names: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                match value {
                    Value::String(name) if key.ends_with("ame") && name.contains('.') && key != "scopeName" => {
                        names.push(name.clone());
                    }
                    _ => collect(value, names),
                }
            }
        }
        Value::Array(items) => items.iter().for_each(|item| collect(item, names)),
        _ => {}
    }
}

type Rule = Map<String, Value>;
/// Where a match and its groups stand.
type Found = Vec<Option<Range<usize>>>;

struct Grammar {
    root: Rule,
    expressions: BTreeMap<String, Regex>,
}

/// A rule that has begun and goes on.
struct Begun<'g> {
    rule: &'g Rule,
    /// The roles inside it, of all rules around it too.
    roles: u16,
}

impl Grammar {
    fn read() -> Self {
        let text = std::fs::read_to_string(file("catchwork.tmLanguage.json")).unwrap();
        let root = serde_json::from_str(&text).unwrap();
        let mut grammar = Self { root, expressions: BTreeMap::new() };
        grammar.compile(&Value::Object(grammar.root.clone()));
        grammar
    }

    fn compile(&mut self, value: &Value) {
        match value {
            Value::Object(fields) => {
                for (key, value) in fields {
                    match value {
                        Value::String(expression) if matches!(key.as_str(), "match" | "begin" | "end" | "while") => {
                            let compiled =
                                Regex::new(expression).unwrap_or_else(|error| panic!("{expression}: {error}"));
                            self.expressions.insert(expression.clone(), compiled);
                        }
                        _ => self.compile(value),
                    }
                }
            }
            Value::Array(items) => items.iter().for_each(|item| self.compile(item)),
            _ => {}
        }
    }

    fn words(&self, key: &str) -> &str {
        self.root[key].as_str().unwrap()
    }

    /// The roles of every byte of a text.
    fn roles(&self, text: &str) -> Vec<u16> {
        let mut roles = vec![0; text.len()];
        let mut begun = Vec::new();
        let mut start = 0;
        for line in text.split_inclusive('\n') {
            self.line(line.trim_end_matches(['\n', '\r']), &mut begun, &mut roles[start..start + line.len()]);
            start += line.len();
        }
        roles
    }

    fn line<'g>(&'g self, line: &str, begun: &mut Vec<Begun<'g>>, roles: &mut [u16]) {
        let goes_on = |begun: &Begun<'_>| {
            let condition = begun.rule.get("while").and_then(Value::as_str);
            condition.is_none_or(|condition| self.expressions[condition].is_match(line).unwrap())
        };
        if let Some(ended) = begun.iter().position(|begun| !goes_on(begun)) {
            begun.truncate(ended);
        }
        let mut at = 0;
        let mut met = BTreeMap::new();
        while let Some((found, rule)) = self.first(line, at, begun, &mut met) {
            let outer = begun.last().map_or(0, |begun| begun.roles);
            let range = whole(&found);
            paint(roles, at..range.start, outer);
            self.take(rule, &found, begun, roles);
            assert!(range.end > at || rule.contains_key("while"), "a rule takes nothing: {rule:?}");
            at = range.end;
        }
        paint(roles, at..line.len(), begun.last().map_or(0, |begun| begun.roles));
    }

    /// The first match from here on, of the end of what has begun or of one of its patterns; the earlier rule wins.
    /// `met` holds the next match of each expression in this line, as far as it was looked for.
    fn first<'g>(
        &'g self,
        line: &str,
        at: usize,
        begun: &[Begun<'g>],
        met: &mut BTreeMap<&'g str, Option<Found>>,
    ) -> Option<(Found, &'g Rule)> {
        let inner = begun.last().map_or(&self.root, |begun| begun.rule);
        let mut candidates = Vec::new();
        self.patterns(inner, &mut candidates);
        let end = begun.last().and_then(|begun| Some((begun.rule.get("end")?.as_str()?, begun.rule)));
        let rules =
            candidates.into_iter().filter_map(|rule| Some((rule.get("match").or(rule.get("begin"))?.as_str()?, rule)));
        let mut best: Option<(usize, &str, &Rule)> = None;
        for (expression, rule) in end.into_iter().chain(rules) {
            let next = met.entry(expression).or_insert_with(|| self.next(expression, line, at));
            if next.as_ref().is_some_and(|found| whole(found).start < at) {
                *next = self.next(expression, line, at);
            }
            let Some(start) = next.as_ref().map(|found| whole(found).start) else { continue };
            if best.is_none_or(|(best, ..)| start < best) {
                best = Some((start, expression, rule));
            }
        }
        best.and_then(|(_, expression, rule)| Some((met.get(expression)?.clone()?, rule)))
    }

    fn next(&self, expression: &str, line: &str, at: usize) -> Option<Found> {
        let found = self.expressions[expression].captures_from_pos(line, at).unwrap()?;
        Some(found.iter().map(|group| group.map(|group| group.range())).collect())
    }

    /// The rules that a rule's patterns come to.
    fn patterns<'g>(&'g self, rule: &'g Rule, rules: &mut Vec<&'g Rule>) {
        for pattern in rule.get("patterns").and_then(Value::as_array).into_iter().flatten() {
            let mut pattern = pattern.as_object().unwrap();
            if let Some(name) = pattern.get("include").and_then(Value::as_str) {
                let name = name.strip_prefix('#').unwrap();
                pattern = self.root["repository"][name].as_object().unwrap_or_else(|| panic!("no rule {name}"));
            }
            match pattern.contains_key("match") || pattern.contains_key("begin") {
                true => rules.push(pattern),
                false => self.patterns(pattern, rules),
            }
        }
    }

    fn take<'g>(&'g self, rule: &'g Rule, found: &Found, begun: &mut Vec<Begun<'g>>, roles: &mut [u16]) {
        let outer = begun.last().map_or(0, |begun| begun.roles);
        let is_end = begun.last().is_some_and(|begun| std::ptr::eq(begun.rule, rule));
        let own = role(rule.get("name"));
        let captures = match (rule.contains_key("match"), is_end) {
            (true, _) => "captures",
            (false, true) => "endCaptures",
            (false, false) => "beginCaptures",
        };
        paint(roles, whole(found), if is_end { outer } else { outer | own });
        for (group, capture) in rule.get(captures).and_then(Value::as_object).into_iter().flatten() {
            if let Some(part) = &found[group.parse::<usize>().unwrap()] {
                paint(roles, part.clone(), role(capture.get("name")));
            }
        }
        if is_end {
            begun.pop();
        } else if rule.contains_key("begin") {
            begun.push(Begun { rule, roles: outer | own | role(rule.get("contentName")) });
        }
    }
}

fn whole(found: &Found) -> Range<usize> {
    found[0].clone().unwrap()
}

fn role(scope: Option<&Value>) -> u16 {
    let scope = scope.and_then(Value::as_str);
    SCOPES.iter().find(|(own, _)| Some(*own) == scope).map_or(0, |(_, role)| *role)
}

fn paint(roles: &mut [u16], range: Range<usize>, own: u16) {
    roles[range].iter_mut().for_each(|roles| *roles |= own);
}
