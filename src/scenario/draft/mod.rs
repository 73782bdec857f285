//! A scenario before it is compiled: its variants, and its fields by path.
//!
//! A variant has the shape of the scenario and is laid over it: maps key by
//! key, entries of a list by their names, a plain value or a list in place of
//! what stands there. The whole is then read and checked like any scenario;
//! messages point at the line on which the family wrote what they speak of.

mod overlay;
mod path;
mod settings;
mod shape;
mod tree;

use jiff::civil::Date;
use sha2::{Digest, Sha256};

use super::{Beside, Compiled, compiled_beside, source::Source, stock::Sheet};
use crate::diagnostics::{Diagnostic, Severity, listed, nearest};
use overlay::Laid;
pub use path::FieldPath;
pub use settings::{End, Field, MOST_SETTINGS, Setting, settings};
pub(super) use shape::home_of;
use tree::Tree;

/// Most variants of one scenario.
const MOST_VARIANTS: usize = 60;

/// What a variant changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// Where, by keys: `stores.milk fridge.like`.
    pub path: String,
    /// What stands there in the scenario; nothing where it is added.
    pub was: Option<String>,
    /// What the variant puts there; nothing where it is taken out.
    pub now: Option<String>,
}

/// A scenario's text, read as keys and values but not yet compiled.
#[derive(Clone, Debug)]
pub struct Draft {
    source: Source,
    tree: Tree,
    sha256: String,
    /// A stock-take beside it, and what is doubtful in that.
    sheet: Option<(Sheet, Vec<Diagnostic>)>,
    /// Another first day than the file's.
    starts: Option<Date>,
}

impl Draft {
    /// Reads the text of a scenario.
    ///
    /// # Errors
    /// What keeps it from being read as keys and values; what these say is
    /// looked at when it is compiled.
    pub fn read(bytes: &[u8]) -> Result<Self, Vec<Diagnostic>> {
        Self::read_beside(bytes, &Beside::default())
    }

    /// The same with a stock-take or another first day beside the file; these
    /// hold for the variants too.
    ///
    /// # Errors
    /// As for [`read`](Self::read), and what keeps the stock-take from being read.
    pub fn read_beside(bytes: &[u8], beside: &Beside) -> Result<Self, Vec<Diagnostic>> {
        let sheet = beside.stock.map(Sheet::read).transpose()?;
        let source = Source::read(bytes)?;
        let tree = Tree::read(&source);
        let digest =
            Sha256::new().chain_update(bytes).chain_update(beside.stock.unwrap_or_default()).finalize();
        let sha256 = digest.iter().map(|b| format!("{b:02x}")).collect();
        Ok(Self { source, tree, sha256, sheet, starts: beside.starts })
    }

    fn compiled(&self, source: &Source) -> Result<Compiled, Vec<Diagnostic>> {
        let sheet = self.sheet.as_ref();
        let mut compiled = compiled_beside(source, &self.sha256, sheet.map(|(s, _)| s), self.starts)?;
        compiled.warnings.splice(0..0, sheet.into_iter().flat_map(|(_, doubts)| doubts.iter().cloned()));
        Ok(compiled)
    }

    /// Names of the variants, in the order of the file.
    pub fn variants(&self) -> impl Iterator<Item = &str> {
        self.own_variants().map(|(name, _)| name)
    }

    fn own_variants(&self) -> impl Iterator<Item = (&str, &Tree)> {
        let all = self.tree.get("variants").map(Tree::keys).unwrap_or_default();
        // What is neither keys nor nothing is refused with the scenario.
        all.iter().filter(|(_, t)| t.text().is_none() && t.entries().is_empty()).map(|(n, t)| (n.as_str(), t))
    }

    /// Compiles the scenario as written, and checks every variant as well.
    ///
    /// # Errors
    /// All that is wrong in the scenario and its variants, by place.
    pub fn compile(&self) -> Result<Compiled, Vec<Diagnostic>> {
        let base = self.base();
        let mut faults = base.as_ref().err().cloned().unwrap_or_default();
        if self.variants().count() > MOST_VARIANTS {
            let d = Diagnostic::error(format!("more than {MOST_VARIANTS} variants stand here"));
            faults.push(d.at(self.source.key_at("variants")).help("put some of them into another file"));
        } else {
            for (name, own) in self.own_variants() {
                let Err(found) = self.variant_of(name, own) else { continue };
                // A fault of the scenario is none of its variants'.
                let new = found.into_iter().filter(|d| d.severity == Severity::Error);
                let new: Vec<Diagnostic> = new.filter(|d| !faults.contains(d)).collect();
                faults.extend(new.into_iter().map(|d| self.named(name, d)));
            }
        }
        match base {
            Ok(compiled) if faults.is_empty() => Ok(compiled),
            _ => {
                crate::diagnostics::sort(&mut faults);
                Err(faults)
            }
        }
    }

    /// Compiles the scenario as written.
    ///
    /// # Errors
    /// All that is wrong in it, by place.
    pub fn base(&self) -> Result<Compiled, Vec<Diagnostic>> {
        self.compiled(&self.source)
    }

    /// Compiles a variant; its title is that of the scenario with its name.
    ///
    /// # Errors
    /// No such variant; or all that is wrong in the scenario with it.
    pub fn variant(&self, name: &str) -> Result<Compiled, Vec<Diagnostic>> {
        let (name, own) = self.own_variant(name).map_err(|d| vec![d])?;
        let mut compiled = self
            .variant_of(name, own)
            .map_err(|found| found.into_iter().map(|d| self.named(name, d)).collect::<Vec<_>>())?;
        if own.get("title").is_none() {
            compiled.names.title = format!("{}, {name}", compiled.names.title);
        }
        Ok(compiled)
    }

    /// Warnings of the variants that the scenario itself does not call for.
    #[must_use]
    pub fn warnings_of_variants(&self, base: &Compiled) -> Vec<Diagnostic> {
        let mut all = Vec::new();
        for (name, own) in self.own_variants() {
            let Ok(variant) = self.variant_of(name, own) else { continue };
            let new = variant.warnings.into_iter().filter(|d| !base.warnings.contains(d));
            all.extend(new.map(|d| self.named(name, d)));
        }
        all
    }

    /// What a variant changes, in the order in which it says so.
    ///
    /// # Errors
    /// No such variant.
    pub fn changes(&self, name: &str) -> Result<Vec<Changed>, Diagnostic> {
        let (name, own) = self.own_variant(name)?;
        Ok(overlay::lay(&self.tree, name, own).changes)
    }

    /// What stands at a field of the scenario, or of a variant of it.
    ///
    /// # Errors
    /// No such variant, no such field, or one without a single value.
    pub fn field(&self, variant: Option<&str>, path: &FieldPath) -> Result<Field, Diagnostic> {
        let tree = self.tree_of(variant)?;
        settings::field(&tree, path)
    }

    /// Compiles the scenario, or a variant of it, with these values at these
    /// fields, written as in the file.
    ///
    /// # Errors
    /// No such variant or field; or all that is wrong with these values.
    pub fn with(
        &self,
        variant: Option<&str>,
        values: &[(FieldPath, String)],
    ) -> Result<Compiled, Vec<Diagnostic>> {
        let mut tree = self.tree_of(variant).map_err(|d| vec![d])?;
        let mut said = Vec::new();
        for (path, text) in values {
            let found = settings::single(&tree, path).map_err(|d| vec![d])?;
            tree.set(&found.way, text);
            said.push(format!("`{}: {text}`", found.path));
        }
        let without = |found: Vec<Diagnostic>| {
            let before = match variant {
                None => self.base().err(),
                Some(name) => self.variant(name).err(),
            };
            // What is wrong anyway is told as it is.
            let before = before.unwrap_or_default();
            let mark = |d: Diagnostic| {
                if before.contains(&d) {
                    d
                } else {
                    Diagnostic { message: format!("with {}: {}", said.join(" and "), d.message), ..d }
                }
            };
            found.into_iter().map(mark).collect::<Vec<_>>()
        };
        self.compiled(&tree.source()).map_err(without)
    }

    fn own_variant(&self, name: &str) -> Result<(&str, &Tree), Diagnostic> {
        let wanted = name.trim();
        let all: Vec<(&str, &Tree)> = self.own_variants().collect();
        let same = all.iter().find(|(n, _)| *n == wanted);
        let alike = all.iter().find(|(n, _)| n.trim().eq_ignore_ascii_case(wanted));
        if let Some(found) = same.or(alike) {
            return Ok(*found);
        }
        let names: Vec<&str> = all.iter().map(|(n, _)| *n).collect();
        let help = match nearest(wanted, names.iter().copied()) {
            Some(n) => format!("did you mean `{n}`?"),
            None if names.is_empty() => {
                "this scenario has no variants; name changes to it under `variants:`".to_owned()
            }
            None => format!("there: {}", listed(&names)),
        };
        Err(Diagnostic::error(format!("there is no variant `{wanted}`")).help(help))
    }

    /// The scenario as keys and values, with a variant laid over it.
    fn tree_of(&self, variant: Option<&str>) -> Result<Tree, Diagnostic> {
        let Some(name) = variant else { return Ok(self.tree.clone()) };
        let (name, own) = self.own_variant(name)?;
        Ok(overlay::lay(&self.tree, name, own).tree)
    }

    fn variant_of(&self, name: &str, own: &Tree) -> Result<Compiled, Vec<Diagnostic>> {
        let Laid { tree, mut faults, warnings, .. } = overlay::lay(&self.tree, name, own);
        match self.compiled(&tree.source()) {
            Ok(mut compiled) if faults.is_empty() => {
                compiled.warnings.extend(warnings);
                Ok(compiled)
            }
            Ok(_) => Err(faults),
            Err(more) => {
                faults.extend(more);
                // A new name that is nearly an old one may be what is wrong.
                for slip in warnings {
                    match faults.iter_mut().find(|f| f.spot.is_some() && f.spot == slip.spot) {
                        Some(fault) => {
                            let help = slip.help.unwrap_or_default();
                            fault.help = Some(format!("{}; {help}", slip.message));
                        }
                        None => faults.push(slip),
                    }
                }
                crate::diagnostics::sort(&mut faults);
                Err(faults)
            }
        }
    }

    /// A message about a variant: one that points elsewhere names it.
    fn named(&self, name: &str, mut d: Diagnostic) -> Diagnostic {
        if d.severity == Severity::Error && d.message.contains("`none`") {
            let help = d.help.take().map(|h| format!("{h}; ")).unwrap_or_default();
            d.help = Some(format!("{help}to take out what stands above, name its path under `without`"));
        }
        let path = tree::under("variants", name);
        if !d.beside && d.spot.is_some_and(|spot| self.source.spots_under(&path).any(|s| s == spot)) {
            return d;
        }
        Diagnostic { message: format!("in the variant `{name}`: {}", d.message), ..d }
    }
}

#[cfg(test)]
mod tests;
