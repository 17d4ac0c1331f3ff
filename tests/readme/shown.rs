//! What a page shows of the program: its fenced blocks, run and put beside what they print. It knows no page.

use anyhow::{Context, Result, ensure};
use std::path::Path;
use std::process::{Command, Output};

/// A fenced block: what stands behind its fence, and its lines.
pub struct Block {
    pub info: String,
    pub lines: Vec<String>,
}

/// The fenced blocks of a page, in order.
pub fn blocks(text: &str) -> Result<Vec<Block>> {
    let mut blocks = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let Some(info) = line.strip_prefix("```") else { continue };
        let mut block = Block { info: info.to_owned(), lines: Vec::new() };
        loop {
            match lines.next().with_context(|| format!("a block `{info}` is not closed"))? {
                "```" => break,
                line => block.lines.push(line.to_owned()),
            }
        }
        blocks.push(block);
    }
    Ok(blocks)
}

/// The page with each block `console` as its call prints it in that folder, one after another; what worksheets stand below
/// the top of the repository is called from there.
pub fn renewed(page: &str, folder: &Path) -> Result<String> {
    let blocks = blocks(page)?;
    ensure!(blocks.iter().any(|block| block.info == "console"), "the page shows no output");
    let mut renewed = page.to_owned();
    for block in blocks.iter().filter(|block| block.info == "console") {
        renewed = renewed.replace(&block.lines.join("\n"), &as_printed(block, folder)?.join("\n"));
    }
    Ok(renewed)
}

/// The block as its call prints it, the same lines left out.
fn as_printed(block: &Block, folder: &Path) -> Result<Vec<String>> {
    let (call, expected) = block.lines.split_first().context("an empty block")?;
    let words = words(call.strip_prefix("$ catchwork ").context("no call")?);
    let is_shipped = words.last().is_some_and(|path| path.starts_with("worksheets/"));
    let printed = printed(&catchwork(&words, if is_shipped { Path::new(env!("CARGO_MANIFEST_DIR")) } else { folder })?);
    let lines: Vec<&str> = printed.lines().collect();
    let kept = kept(expected, &lines).with_context(|| format!("{call} prints:\n{printed}"))?;
    Ok(std::iter::once(call.clone()).chain(kept).collect())
}

/// The words of a call as a shell takes them: what stands in double quotes is one word.
fn words(call: &str) -> Vec<&str> {
    let parts = call.split('"').enumerate();
    parts
        .flat_map(|(index, part)| if index % 2 == 1 { vec![part] } else { part.split_whitespace().collect() })
        .collect()
}

/// Of the lines printed those that the README shows: a part behind `…` goes from the line it begins with to the line it
/// ends with, the last one to the end, unless it is followed by `…` too.
fn kept(expected: &[String], lines: &[&str]) -> Result<Vec<String>> {
    let parts: Vec<&[String]> = expected.split(|line| line == "…").collect();
    let place = |line: &String, from: usize| Some(from + lines.iter().skip(from).position(|own| own == line)?);
    let (mut kept, mut from) = (Vec::new(), 0);
    for (number, part) in parts.iter().enumerate() {
        let (Some(first), Some(last)) = (part.first(), part.last()) else {
            // The block ends on `…`.
            kept.extend((number > 0 && number + 1 == parts.len()).then(|| "…".to_owned()));
            continue;
        };
        if number > 0 {
            from = place(first, from).with_context(|| format!("no line `{first}` behind `…`"))?;
            kept.push("…".to_owned());
        }
        let end = if number + 1 == parts.len() { Some(lines.len()) } else { place(last, from).map(|last| last + 1) };
        let end = end.with_context(|| format!("no line `{last}` before `…`"))?;
        kept.extend(lines.iter().take(end).skip(from).map(|line| (*line).to_owned()));
        from = end;
    }
    Ok(kept)
}

/// What a call prints: results, then troubles.
pub fn printed(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

/// The program called from a folder.
pub fn catchwork(words: &[&str], folder: &Path) -> Result<Output> {
    Ok(Command::new(env!("CARGO_BIN_EXE_catchwork")).args(words).current_dir(folder).output()?)
}
