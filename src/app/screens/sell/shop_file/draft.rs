//! What was said of a shop's file, and what would follow from it as the book is now.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::app::action::ShopFileWrite;
use crate::app::widgets::{PathPicker, PathWanted};
use crate::bank::DateOrder;
use crate::book::{Book, BookError};
use crate::import::shops::{Asked, Given, ShopTable, propose};
use crate::ledger::{AccountId, Role};
use crate::reports::{self, ShopFile, ShopFileError};
use crate::shops::{
    ColumnMeaning, FeeSign, FileKind, LayoutColumn, RowMeaning, ShopLayout, Steps, guess_columns,
};

/// A column of the file, with the first things that stand in it.
pub(super) struct FileColumn {
    pub(super) header: String,
    pub(super) sample: String,
    pub(super) means: ColumnMeaning,
}

/// The file, as far as it was told what it is.
pub(super) struct FileDraft {
    pub(super) picker: PathPicker,
    /// Whether another file is being chosen although one is open.
    pub(super) is_choosing: bool,
    /// Whether the page was drawn.
    pub(super) is_begun: bool,
    pub(super) kind: FileKind,
    pub(super) shop: String,
    pub(super) name: String,
    pub(super) table: Option<ShopTable>,
    pub(super) columns: Vec<FileColumn>,
    /// What the kinds of rows mean that no word gave away.
    pub(super) rows: BTreeMap<String, RowMeaning>,
    pub(super) dates: Option<DateOrder>,
    pub(super) decimal: Option<char>,
    pub(super) fees: Option<FeeSign>,
    /// What words mean: no product, or the code of one.
    pub(super) ties: BTreeMap<String, Option<String>>,
    pub(super) shops: Vec<String>,
    pub(super) products: Vec<(String, String)>,
    pub(super) asked: Vec<Asked>,
    pub(super) problems: Vec<String>,
    pub(super) steps: Option<Steps>,
    pub(super) is_open: bool,
    layout: ShopLayout,
    kept: Vec<(FileKind, String, ShopLayout)>,
    opened: Option<PathBuf>,
    is_told: bool,
}

impl Default for FileDraft {
    fn default() -> Self {
        let home = directories::BaseDirs::new();
        let start = home.as_ref().map_or(Path::new("."), |dirs| dirs.home_dir());
        Self {
            picker: PathPicker::new(PathWanted::File(vec!["csv", "txt", "tsv"]), start),
            is_choosing: false,
            is_begun: false,
            kind: FileKind::Orders,
            shop: String::new(),
            name: String::new(),
            table: None,
            columns: Vec::new(),
            rows: BTreeMap::new(),
            dates: None,
            decimal: None,
            fees: None,
            ties: BTreeMap::new(),
            shops: Vec::new(),
            products: Vec::new(),
            asked: Vec::new(),
            problems: Vec::new(),
            steps: None,
            is_open: false,
            layout: ShopLayout::default(),
            kept: Vec::new(),
            opened: None,
            is_told: false,
        }
    }
}

impl FileDraft {
    /// Something else is said of the file: what follows is worked out anew.
    pub(super) fn told(&mut self) {
        self.is_told = true;
    }

    pub(super) fn is_stale(&self) -> bool {
        self.is_told
    }

    /// Another kind of file: its columns are guessed anew.
    pub(super) fn other_kind(&mut self) {
        self.guess();
        self.told();
    }

    /// Opens the file that is named, when it is one and not open yet.
    pub(super) fn open(&mut self) {
        let path = self.picker.path();
        if self.opened.as_ref() == Some(&path) || !path.is_file() {
            return;
        }
        let name = path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned());
        let name = name.unwrap_or_default();
        self.problems.clear();
        self.table = None;
        match std::fs::read(&path) {
            Err(error) => self
                .problems
                .push(format!("{name} cannot be read: {error}")),
            Ok(bytes) => match ShopTable::read(&name, &bytes) {
                Err(faults) => self.problems.push(faults.to_string()),
                Ok(table) => {
                    self.table = Some(table);
                    self.is_choosing = false;
                }
            },
        }
        self.opened = Some(path);
        self.guess();
        self.told();
    }

    fn guess(&mut self) {
        let Some(table) = &self.table else {
            self.columns.clear();
            return;
        };
        // The shop's own layout is read as the owner left it; another shop's only where it leaves nothing out.
        let of_kind = || self.kept.iter().filter(|layout| layout.0 == self.kind);
        let own = |layout: &&(FileKind, String, ShopLayout)| {
            layout.1.eq_ignore_ascii_case(self.shop.trim())
                && layout.2.check_header(&table.header).is_ok()
        };
        let kept = of_kind()
            .find(own)
            .or_else(|| of_kind().find(|layout| layout.2.is_of(self.kind, &table.header)));
        let layout = match kept {
            Some((_, name, layout)) => {
                self.name.clone_from(name);
                layout.clone()
            }
            None => ShopLayout {
                columns: guess_columns(self.kind, &table.header),
                ..ShopLayout::default()
            },
        };
        self.columns = table
            .header
            .iter()
            .enumerate()
            .map(|(place, header)| FileColumn {
                means: layout.meaning(header).unwrap_or(ColumnMeaning::Nothing),
                sample: sample(table, place),
                header: header.clone(),
            })
            .collect();
        self.layout = kept
            .map(|(_, _, layout)| layout.clone())
            .unwrap_or_default();
        self.rows.clear();
        self.dates = None;
        self.decimal = None;
        self.fees = self.layout.fees;
    }

    /// Reads what the book knows, and works out what would follow.
    pub(super) fn read(&mut self, book: &Book) -> Result<(), BookError> {
        self.is_told = false;
        self.kept.clear();
        for kind in FileKind::ALL {
            for one in book.file_layouts(kind.as_str())? {
                if let Ok(layout) = serde_json::from_str(&one.content) {
                    self.kept.push((*kind, one.name, layout));
                }
            }
        }
        let chart = book.chart();
        let channels = chart.channels().into_iter();
        self.shops = channels.map(|account| account.name.clone()).collect();
        let items = book.items()?.into_iter().filter(|item| item.kind.is_sold());
        self.products = items.map(|item| (item.code, item.name)).collect();
        let sets = book.bundles()?.into_iter();
        self.products.extend(sets.map(|set| (set.code, set.name)));
        self.work_out(book)
    }

    fn work_out(&mut self, book: &Book) -> Result<(), BookError> {
        self.steps = None;
        self.asked.clear();
        let Some(table) = &self.table else {
            return Ok(());
        };
        self.problems.clear();
        let columns = self.columns.iter().map(|column| LayoutColumn {
            column: column.header.clone(),
            means: column.means,
        });
        let given = Given {
            kept: None,
            columns: columns.collect(),
            rows: self
                .layout
                .rows
                .clone()
                .into_iter()
                .chain(self.rows.clone())
                .collect(),
            per_row: self.layout.per_row.clone(),
            dates: self.dates,
            decimal: self.decimal,
            fees: self.fees,
        };
        let proposal = propose(table, self.kind, &given, book.currency());
        self.layout = proposal.layout;
        self.asked = proposal.asked;
        for asked in &self.asked {
            if let Asked::Rows(kinds) = asked {
                for kind in kinds {
                    self.rows.entry(kind.clone()).or_insert(RowMeaning::Ignore);
                }
            }
        }
        let channel = self.channel(book);
        self.is_open = channel.is_some();
        if let (Some(channel), true) = (channel, self.asked.is_empty()) {
            let file = ShopFile {
                kind: self.kind,
                table,
                name: self.layout_name(),
                layout: &self.layout,
                channel,
                into: book.chart().role(Role::BusinessBank)?,
            };
            match reports::shop_steps(book, &file) {
                Ok((steps, _layout)) => {
                    for words in &steps.untied {
                        self.ties.entry(words.clone()).or_insert(None);
                    }
                    self.steps = Some(steps);
                }
                Err(ShopFileError::Faults(faults)) => {
                    let list = faults.list().iter().take(8);
                    self.problems = list.map(ToString::to_string).collect();
                }
                Err(ShopFileError::Report(message)) => self.problems.push(message),
            }
        }
        Ok(())
    }

    fn channel(&self, book: &Book) -> Option<AccountId> {
        let account = book.chart().find(self.shop.trim()).ok()?;
        account.is_channel().then_some(account.id)
    }

    /// The name under which the layout is kept: the one given, or the shop's.
    fn layout_name(&self) -> &str {
        let name = self.name.trim();
        if name.is_empty() {
            self.shop.trim()
        } else {
            name
        }
    }

    /// What is to be written; nothing while something is still asked.
    pub(super) fn write(&self) -> Option<ShopFileWrite> {
        self.steps.as_ref()?;
        Some(ShopFileWrite {
            kind: self.kind,
            table: self.table.clone()?,
            shop: self.shop.trim().to_owned(),
            name: self.layout_name().to_owned(),
            layout: self.layout.clone(),
            ties: self
                .ties
                .iter()
                .filter_map(|(words, code)| Some((words.clone(), code.clone()?)))
                .collect(),
        })
    }
}

/// The first two different things that stand in a column.
fn sample(table: &ShopTable, place: usize) -> String {
    let mut found: Vec<&str> = Vec::new();
    for (_row, cells) in &table.rows {
        let text = cells.get(place).map(String::as_str).unwrap_or_default();
        if !text.is_empty() && !found.contains(&text) {
            found.push(text);
        }
        if found.len() == 2 {
            break;
        }
    }
    found.join(", ")
}
