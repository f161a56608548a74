//! What screens ask for: going somewhere, opening another screen, writing something.
//! Screens only ask; `apply` answers, in one place.

mod desk;

use std::fmt;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use chrono::NaiveDate;

pub use self::desk::DeskWrite;
pub use super::forms::{Form, FormWish};
use super::navigation::Room;
use super::period::PeriodChoice;
use super::preferences::ThemeChoice;
use super::screen::Screen;
use crate::book::{Book, EntryFilter, NewAccount, ReceiptId, ShopReport};
use crate::dates::Month;
use crate::deciding::SavedComparison;
use crate::depreciation::{Disposal, Equipment, TermsChange};
use crate::happenings::{Proof, Recording};
use crate::import::shops::ShopTable;
use crate::ledger::{Account, AccountId, EntryHeader, EntryNumber, JournalEntry, Line};
use crate::money::Money;
use crate::ordering::{Arrival, Claim, SupplierOrder};
use crate::plan::{PlanLine, PlanMoney};
use crate::recurring::Recurring;
use crate::reports::Manner;
use crate::shops::{FileKind, ShopLayout};
use crate::sorting::{BankLine, LineId, Payee, Rule, Suggestion, Treatment};
use crate::statements::StartUpGroup;
use crate::stock::{BatchNote, Bundle, Item, Movement, Recipe};

/// What a screen asks for.
pub enum Action {
    /// Go to a room; what is on top of it closes, drafts are kept for later.
    Go(Room),
    /// Put a screen on top of this one: an explanation, an entry's page, a form.
    Open(Box<dyn Screen>),
    /// Go back to the screen beneath: this one closes, or is kept for later when it holds a draft.
    Back,
    /// Close this screen without asking.
    Close,
    /// Put this screen aside with its draft; the list of rooms offers it from then on.
    KeepForLater,
    /// Take up a form that was kept for later, by its number in the book.
    TakeUp(i64),
    /// Open the form for something that happened, filled as far as is known.
    Start(FormWish),
    /// Open "What happened?".
    WhatHappened,
    /// Open the settings.
    Settings,
    /// Choose the theme.
    SetTheme(ThemeChoice),
    /// Make everything larger or smaller by tenths; the usual size for zero.
    Scale(i32),
    /// Open another book instead of this one: the first page.
    OtherBook,
    /// Go to the practice copy of this book, which is made when there is none, or made afresh.
    Practise {
        /// Whether an earlier copy is replaced.
        is_afresh: bool,
    },
    /// Go back from the practice copy to the real book.
    RealBook,
    /// Choose the period for every room.
    SetPeriod(PeriodChoice),
    /// Write something in the book.
    Write(Box<Write>),
    /// Take the last thing back.
    Undo,
    /// Do again what was taken back last.
    Redo,
    /// Work that takes longer, done on a thread of its own while the window lives on: see [`Job`].
    Run(Job),
    /// Work that takes longer and writes in the book: the window waits for it, see [`BookJob`].
    Lend(BookJob),
    /// Open a file with the program that this desktop has for it.
    OpenFile {
        /// The file.
        path: PathBuf,
        /// What was done with it, as `The note is written`.
        done: String,
    },
    /// Say something in the bar at the top.
    Say(String),
    /// Say what went wrong.
    Trouble(String),
}

impl Action {
    /// Write something in the book.
    #[must_use]
    pub fn write(write: Write) -> Self {
        Self::Write(Box::new(write))
    }
}

impl fmt::Debug for Action {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = match self {
            Self::Go(room) => return write!(f, "Go({room:?})"),
            Self::Open(screen) => return write!(f, "Open({})", screen.title()),
            Self::Write(write) => return write!(f, "Write({write:?})"),
            Self::SetPeriod(choice) => return write!(f, "SetPeriod({choice:?})"),
            Self::Start(wish) => return write!(f, "Start({wish:?})"),
            Self::Run(job) => return write!(f, "Run({})", job.title),
            Self::Lend(job) => return write!(f, "Lend({})", job.title),
            Self::Say(words) => return write!(f, "Say({words})"),
            Self::Trouble(words) => return write!(f, "Trouble({words})"),
            Self::OpenFile { .. } => "OpenFile",
            Self::SetTheme(_) => "SetTheme",
            Self::Scale(_) => "Scale",
            Self::OtherBook => "OtherBook",
            Self::Practise { .. } => "Practise",
            Self::RealBook => "RealBook",
            Self::Back => "Back",
            Self::Close => "Close",
            Self::KeepForLater => "KeepForLater",
            Self::TakeUp(_) => "TakeUp",
            Self::WhatHappened => "WhatHappened",
            Self::Settings => "Settings",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
        };
        f.write_str(name)
    }
}

/// A receipt's file, read and waiting to be attached.
#[derive(Clone, PartialEq, Eq)]
pub struct ReceiptFile {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

impl fmt::Debug for ReceiptFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({} bytes)", self.name, self.bytes.len())
    }
}

/// A form as it is kept for later.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// Its number in the book, once it is there.
    pub id: Option<i64>,
    /// Its name: the question and what it is about.
    pub form: String,
    /// What was typed, as the form wrote it down.
    pub content: String,
}

impl Kept {
    /// One that is in the book.
    #[must_use]
    pub fn of(id: i64) -> Self {
        Self {
            id: Some(id),
            ..Self::default()
        }
    }
}

/// Stock that moves in an entry of its own: a batch, samples, a count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockMove {
    /// When, to whom and why.
    pub header: EntryHeader,
    /// What else happens in it, such as paying for outside work.
    pub lines: Vec<Line>,
    /// What came, went, was made or counted.
    pub movements: Vec<Movement>,
    /// What is told beside the batch that it makes.
    pub note: BatchNote,
    /// What is said when it is done.
    pub done: String,
}

/// A part of an entry that belongs to a line of the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanPart {
    /// The line's number in the book.
    pub line: i64,
    /// Which of the entry's lines, by what they say; all when empty.
    pub what: String,
}

/// A change about an order to a supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OrderingWrite {
    /// An order is kept, or changed when it has a number.
    Keep(SupplierOrder),
    /// An order of which nothing came is taken out.
    Remove(i64),
    /// An order is closed although not everything came, or opened again.
    Close(i64, Option<NaiveDate>),
    /// Something came of an order, or was billed ahead.
    Arrive {
        /// The order.
        order: i64,
        /// What came.
        arrival: Arrival,
        /// Its purchase; nothing when nothing is billed.
        recording: Option<Recording>,
        /// The receipts of the purchase.
        receipts: Vec<ReceiptFile>,
    },
    /// A claim is kept, or changed when it has a number.
    Claim(Claim),
    /// A claim that was a mistake is taken out.
    RemoveClaim(i64),
    /// The supplier gives something for a claim.
    Credit {
        /// The claim.
        claim: i64,
        /// The refund.
        recording: Recording,
    },
}

/// A change about statement lines and what becomes of them.
#[derive(Clone, Debug)]
pub enum SortingWrite {
    /// A line becomes what is suggested for it.
    Accept(Box<BankLine>, Box<Suggestion>),
    /// A line becomes this; with a rule, lines like it will.
    Treat(Box<BankLine>, Box<Treatment>, Option<Box<Rule>>),
    /// Lines that are alike become this, all of them or none.
    TreatAlike {
        /// The lines.
        lines: Vec<BankLine>,
        /// What each becomes.
        treatment: Box<Treatment>,
        /// Whether it is rough, and what is remembered.
        manner: Manner,
    },
    /// Entries that were rough or not explained were this.
    Refine(Vec<EntryNumber>, Box<Treatment>),
    /// The accountant is asked about entries that nobody can explain yet, on this day.
    Ask(Vec<EntryNumber>, NaiveDate),
    /// This is remembered of entries that nobody can explain yet.
    Remember(Vec<EntryNumber>, String),
    /// A line is in these entries, which were there before.
    InBook(LineId, Vec<EntryNumber>),
    /// A line is left out, with a reason.
    LeaveOut(LineId, String),
    /// A line is put back among those to be sorted.
    SortAgain(LineId),
    /// Every line that a rule covers or that is in the book beyond doubt becomes that.
    AcceptCovered,
    /// A rule is kept, or changed when it has a number.
    KeepRule(Box<Rule>),
    /// A rule is taken out.
    RemoveRule(i64),
    /// The rules are asked in this order.
    OrderRules(Vec<i64>),
    /// What was chosen for a payee is forgotten.
    Forget(Payee),
}

/// A change about an account and its statement.
#[derive(Clone, Debug)]
pub enum ReconcilingWrite {
    /// Begin to tick, or change what is worked on.
    Begin {
        /// The account.
        account: AccountId,
        /// The day of the statement.
        day: NaiveDate,
        /// Its closing balance, signed as the ledger has it.
        balance: Money,
    },
    /// Tick entries, or take their ticks away.
    Tick {
        /// The sheet.
        id: i64,
        /// The entries.
        entries: Vec<EntryNumber>,
        /// Whether they are ticked from now on.
        is_ticked: bool,
    },
    /// Nothing is missing: keep the sheet as it is.
    Finish {
        /// The sheet.
        id: i64,
        /// What is noted on it.
        note: String,
    },
    /// Take a sheet back; a finished one with a reason.
    TakeBack {
        /// The sheet.
        id: i64,
        /// Why.
        reason: String,
    },
}

/// A shop's file that is to be brought in, and how it is read.
#[derive(Clone, Debug)]
pub struct ShopFileWrite {
    /// What it holds.
    pub kind: FileKind,
    /// Its rows.
    pub table: ShopTable,
    /// The shop's name.
    pub shop: String,
    /// The name of its layout.
    pub name: String,
    /// How it is read.
    pub layout: ShopLayout,
    /// Which words mean which product, by its code; an empty code means none.
    pub ties: Vec<(String, String)>,
}

/// One change of the book: a transaction and a step that can be undone.
#[derive(Clone, Debug)]
pub enum Write {
    /// Write recordings down, all or none; receipts are attached to the first entry.
    Record {
        /// What happened.
        recordings: Vec<Recording>,
        /// The receipts of the first.
        receipts: Vec<ReceiptFile>,
        /// What is said when it is done, as `124.45 to Harrow Lane Papers is written down`.
        done: String,
    },
    /// Give an entry new content.
    Amend {
        /// Which entry.
        number: EntryNumber,
        /// Its new content.
        entry: Box<JournalEntry>,
        /// Its proof, when that changes too.
        proof: Option<Proof>,
        /// Receipts that join those it has.
        receipts: Vec<ReceiptFile>,
        /// Why; kept in the history.
        reason: String,
    },
    /// Take an entry back.
    Reverse {
        /// Which entry.
        number: EntryNumber,
        /// On which day.
        date: NaiveDate,
        /// Why; kept in the history.
        reason: String,
    },
    /// Attach a receipt.
    Attach(EntryNumber, ReceiptFile),
    /// Take a receipt off an entry.
    Detach(EntryNumber, ReceiptId),
    /// Say what stands behind an entry.
    SetProof(EntryNumber, Proof),
    /// Change settings: key and value.
    SetSettings(Vec<(String, String)>),
    /// Lock everything up to a day.
    Lock(NaiveDate),
    /// Say that a month, and every month before it, is finished.
    FinishMonth(Month),
    /// Open a finished month, and every month after it, again.
    OpenMonthAgain(Month),
    /// Unlock, with a reason.
    Unlock(String),
    /// Close the financial year named after the calendar year it ends in.
    CloseYear(i32),
    /// Reopen what was closed last, with a reason.
    Reopen(String),
    /// Add an account.
    AddAccount(NewAccount),
    /// Change an account.
    UpdateAccount(Box<Account>),
    /// Offer an account no more.
    RetireAccount(AccountId),
    /// Open a sales channel by its name.
    OpenChannel(String),
    /// Move lines from one account to another, with a reason.
    Reclassify {
        /// From here.
        from: AccountId,
        /// To here.
        to: AccountId,
        /// In which entries.
        filter: Box<EntryFilter>,
        /// Why.
        reason: String,
    },
    /// Change a piece of equipment.
    UpdateEquipment(Box<Equipment>),
    /// Change a piece's terms from a day on.
    ChangeTerms(String, TermsChange),
    /// Let a piece go with its entries.
    Dispose {
        /// Its key.
        key: String,
        /// How it went.
        disposal: Disposal,
        /// The entries that say so.
        recordings: Vec<Recording>,
    },
    /// A channel holds money back until a day.
    AddHold {
        /// The channel.
        channel: AccountId,
        /// How much.
        amount: Money,
        /// Since when.
        since: NaiveDate,
        /// Until when, if that is known.
        until: Option<NaiveDate>,
        /// Why.
        memo: String,
    },
    /// What channels report for a year as their gross, or no longer.
    ReportedGross {
        /// The year, named after the calendar year it ends in.
        year: i32,
        /// Each channel with its report; `None` forgets it.
        changes: Vec<(AccountId, Option<ShopReport>)>,
    },
    /// A hold ended.
    ReleaseHold(i64, NaiveDate),
    /// Something recurs from now on.
    AddRecurring(Box<Recurring>),
    /// What recurs is changed.
    UpdateRecurring(Box<Recurring>),
    /// Leave out what is due next.
    SkipRecurring(i64),
    /// Write down what was due.
    ConfirmRecurring(i64, Box<Recording>),
    /// Keep an item, or change it.
    PutItem(Box<Item>),
    /// Keep a recipe, in the place of the one before.
    PutRecipe(Box<Recipe>),
    /// Keep a set, in the place of the one before.
    PutBundle(Box<Bundle>),
    /// Move stock.
    MoveStock(Box<StockMove>),
    /// Tell an unusual happening: its entry, its movements and its steps.
    Tell(Box<crate::occasions::Told>),
    /// Take out a step that posted nothing, by its number, for this reason.
    RemoveStep(i64, String),
    /// Keep a comparison with its product, or change it when it has a number.
    KeepComparison(Box<SavedComparison>),
    /// Keep a comparison no longer.
    RemoveComparison(i64),
    /// A line of the plan is added, or changed when it has a number.
    KeepPlanLine(Box<PlanLine>),
    /// A line is taken off the plan.
    RemovePlanLine(i64),
    /// There is money for starting.
    AddPlanMoney(PlanMoney),
    /// That money is taken off the plan.
    RemovePlanMoney(i64),
    /// An entry became of a line of the plan.
    LinkPlan(EntryNumber, PlanPart),
    /// A purchase is taken off its line.
    UnlinkPlan(i64),
    /// An account counts under a group of the cost to start, or under its own again.
    MarkStartUp(AccountId, Option<StartUpGroup>),
    /// Write something down that became of lines of the plan.
    ForPlan(Vec<PlanPart>, Box<Write>),
    /// Something about an order to a supplier.
    Ordering(Box<OrderingWrite>),
    /// Something kept at the desk.
    Desk(Box<DeskWrite>),
    /// Something about statement lines.
    Sorting(SortingWrite),
    /// Something about an account and its statement.
    Reconciling(ReconcilingWrite),
    /// A shop's file is brought in.
    ShopFile(Box<ShopFileWrite>),
    /// Write something down that a statement line becomes.
    FromLine(LineId, Box<Write>),
    /// Keep a form for later in the book.
    Keep(Kept),
    /// Throw a form away; undoing brings it back among what is kept for later.
    ThrowAway(Kept),
    /// Write what a form that was kept for later came to; it is kept no more.
    FromKept(i64, Box<Write>),
}

/// Work for a thread of its own. It gets its own copy of what it needs, never the open book.
pub struct Job {
    /// What is being done, as `Writing the year-end folder`.
    pub title: String,
    /// The work; its answer is said in the bar at the top, `Ok` as a notice and `Err` as trouble.
    pub work: Box<dyn FnOnce() -> Result<String, String> + Send>,
}

/// Work for a thread of its own that writes in the book. The book is lent to it; meanwhile the window shows how far it
/// is and can stop it, and has the book back afterwards.
pub struct BookJob {
    /// What is being done, as `Writing down what is sure`.
    pub title: String,
    /// The work; its answer is said in the bar at the foot. What it wrote is one step that can be undone.
    pub work: BookWork,
}

/// What is done with a book that is lent.
pub type BookWork = Box<dyn FnOnce(&mut Book, &Progress) -> Result<String, String> + Send>;

/// How far work on a thread is, and whether it is to stop.
#[derive(Debug, Default)]
pub struct Progress {
    done: AtomicUsize,
    whole: AtomicUsize,
    is_stopped: AtomicBool,
}

impl Progress {
    /// So much of the whole is done. Answers whether to go on.
    pub fn tell(&self, done: usize, whole: usize) -> bool {
        self.done.store(done, Ordering::Relaxed);
        self.whole.store(whole, Ordering::Relaxed);
        !self.is_stopped.load(Ordering::Relaxed)
    }

    /// How much of the whole is done.
    #[must_use]
    pub fn so_far(&self) -> (usize, usize) {
        (
            self.done.load(Ordering::Relaxed),
            self.whole.load(Ordering::Relaxed),
        )
    }

    /// Asks the work to stop; what it began is as if it never had.
    pub fn stop(&self) {
        self.is_stopped.store(true, Ordering::Relaxed);
    }
}
