//! What a system is given of the command line: completions and manual pages,
//! both made from the arguments themselves.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::CommandFactory;

use super::args::Args;
use super::{Failure, output};

/// `completions`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
                        springhouse completions bash > ~/.local/share/bash-completion/completions/springhouse\n  \
                        springhouse completions fish > ~/.config/fish/completions/springhouse.fish\n")]
pub struct CompletionsArgs {
    /// The shell
    pub shell: clap_complete::Shell,
}

/// `man`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  springhouse man | man -l -\n  springhouse man ~/.local/share/man/man1\n"
)]
pub struct ManArgs {
    /// A folder for a page of every command; without it, the first page goes to standard output
    pub folder: Option<PathBuf>,
}

pub fn completions(args: &CompletionsArgs) -> Result<ExitCode, Failure> {
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut Args::command(), "springhouse", &mut text);
    output::bytes(&text)?;
    Ok(ExitCode::SUCCESS)
}

pub fn man(args: &ManArgs) -> Result<ExitCode, Failure> {
    let pages = pages()?;
    let Some(folder) = &args.folder else {
        if let Some((_, first)) = pages.first() {
            output::bytes(first)?;
        }
        return Ok(ExitCode::SUCCESS);
    };
    fs::create_dir_all(folder).map_err(|e| cannot(folder, &e))?;
    for (name, page) in &pages {
        let path = folder.join(name);
        // Whole or not at all: a page may be read while it is written.
        let written = tempfile::NamedTempFile::new_in(folder).and_then(|mut file| {
            std::io::Write::write_all(&mut file, page)?;
            readable_by_all(file.path())?;
            file.persist(&path).map_err(|e| e.error)
        });
        written.map_err(|e| cannot(&path, &e))?;
    }
    output::note(&format!("Written: {} pages in {}", pages.len(), folder.display()));
    Ok(ExitCode::SUCCESS)
}

/// A page of the program, then one of each command: file name and text.
fn pages() -> Result<Vec<(String, Vec<u8>)>, Failure> {
    let mut program = Args::command().name("springhouse").disable_help_subcommand(true);
    // Gives the commands their whole names.
    program.build();
    let commands: Vec<_> = program.get_subcommands().cloned().collect();
    std::iter::once(program).chain(commands).map(page).collect()
}

fn page(command: clap::Command) -> Result<(String, Vec<u8>), Failure> {
    let man = clap_mangen::Man::new(command);
    let mut text = Vec::new();
    man.render(&mut text)?;
    Ok((man.get_filename(), text))
}

/// A temporary file is its owner's alone; a page is for everybody.
#[cfg(unix)]
fn readable_by_all(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable_by_all(_: &Path) -> std::io::Result<()> {
    Ok(())
}

fn cannot(path: &Path, e: &std::io::Error) -> Failure {
    Failure::Other(format!("cannot write {}: {e}", path.display()))
}
