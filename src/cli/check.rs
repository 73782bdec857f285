//! `check`: what was understood, and what is wrong.

use std::process::ExitCode;

use super::args::CheckArgs;
use super::{Failure, input, output};
use crate::report::{Block, Page};
use crate::scenario::{Compiled, Draft};

pub fn check(args: &CheckArgs) -> Result<ExitCode, Failure> {
    input::hush(args.quiet);
    let input = input::read_with(&args.scenario, &args.stock)?;
    let mut compiled = input::compile(&input)?;
    let draft = input::draft(&input)?;
    compiled.warnings.extend(draft.warnings_of_variants(&compiled));
    if !args.quiet {
        input::tell_warnings(&input, &compiled.warnings);
    }
    let mut page = page(&input.name, &compiled);
    variants(&draft, &mut page);
    output::page(&page)?;
    Ok(ExitCode::SUCCESS)
}

fn page(file: &str, compiled: &Compiled) -> Page {
    let mut page = Page::default();
    let title = compiled.names.title.trim();
    let found = match compiled.warnings.len() {
        0 => "no errors".to_string(),
        1 => "no errors, 1 warning".to_string(),
        n => format!("no errors, {n} warnings"),
    };
    page.blocks
        .push(Block::Title(format!("{}: understood, {found}", if title.is_empty() { file } else { title })));
    for part in &compiled.understood.parts {
        page.heading(part.title.as_str());
        for (label, text) in &part.lines {
            if label.trim().is_empty() {
                page.item(text.as_str());
            } else {
                page.blocks.push(Block::Pair(label.clone(), text.clone()));
            }
        }
    }
    if !compiled.names.cautions.is_empty() {
        page.heading("Cautions");
        for caution in &compiled.names.cautions {
            page.item(caution.as_str());
        }
    }
    page
}

/// What each variant changes.
fn variants(draft: &Draft, page: &mut Page) {
    for name in draft.variants() {
        page.heading(format!("Variant: {name}"));
        for c in draft.changes(name).unwrap_or_default() {
            page.item(match (c.was, c.now) {
                (Some(was), Some(now)) => format!("{}: {now}, instead of {was}", c.path),
                (None, Some(now)) => format!("{}: {now}, added", c.path),
                (Some(was), None) => format!("{}: without it; it is {was}", c.path),
                (None, None) => c.path,
            });
        }
    }
}
