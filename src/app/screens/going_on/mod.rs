//! What goes on: vouchers, deposits, invoices, pieces at shops, disputes, claims, loans, fair days, helpers. Everything that
//! began and has not ended, with what is left of it and the form of its next step. Drawing is `view`'s.

mod tally;
mod view;

use chrono::Datelike;
use egui::Ui;

use crate::app::action::Action;
use crate::app::forms::{Form, FormWish};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::widgets::page_heading;
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::ledger::EntryNumber;
use crate::matters::{Matter, MatterKind, Matters, StepKind};
use crate::reports::{self, FairReport, Gifts, Helpers, LoanReport, ReportError};

/// Opens the page.
#[must_use]
pub fn open() -> Action {
    Action::Open(Box::new(GoingOnScreen::default()))
}

/// Opens the page at one kind.
#[must_use]
pub fn open_kind(kind: MatterKind) -> Action {
    Action::Open(Box::new(GoingOnScreen {
        shown: Some(kind),
        ..GoingOnScreen::default()
    }))
}

/// What the page says.
#[derive(Debug, Default)]
struct Model {
    matters: Matters,
    fairs: Vec<FairReport>,
    loans: Vec<LoanReport>,
    helpers: Option<Helpers>,
    gifts: Option<Gifts>,
    invoices: Vec<crate::export::pdf::Invoice>,
    items: Vec<crate::stock::Item>,
    business: String,
    folder: std::path::PathBuf,
}

/// The page.
#[derive(Default)]
pub struct GoingOnScreen {
    model: Option<Model>,
    shown: Option<MatterKind>,
    opened: Option<(MatterKind, String)>,
    removing: Option<(i64, String)>,
    refused: Option<String>,
}

/// The next steps of a matter: what the button says and the form it opens.
fn next_steps(matter: &Matter) -> Vec<(&'static str, Form)> {
    if !matter.is_open() && matter.kind != MatterKind::Untaxed {
        return Vec::new();
    }
    match matter.kind {
        MatterKind::Fair => vec![("How was it?", Form::Fair)],
        MatterKind::Commission => vec![
            ("Sold there", Form::CommissionSold),
            ("Came back", Form::CommissionBack),
            ("Missing", Form::CommissionMissing),
            ("Give it more", Form::CommissionSent),
        ],
        MatterKind::Invoice if matter.last(StepKind::Invoiced).is_none() => {
            vec![("Send the invoice", Form::ShopInvoiced)]
        }
        MatterKind::Invoice => vec![
            ("Paid", Form::ShopPaid),
            ("Will not be paid", Form::InvoiceLetGo),
        ],
        MatterKind::Deposit => vec![
            ("Hand it over", Form::DepositDelivered),
            ("Give it back", Form::DepositBack),
        ],
        MatterKind::Voucher => vec![
            ("Redeem", Form::VoucherUsed),
            ("Ended unused", Form::VoucherEnded),
        ],
        MatterKind::Dispute => vec![("Won", Form::DisputeWon), ("Lost", Form::DisputeLost)],
        MatterKind::Claim => vec![("Paid", Form::ClaimPaid), ("Refused", Form::ClaimRefused)],
        MatterKind::Loan => vec![("Pay back", Form::LoanRepaid)],
        MatterKind::Untaxed => vec![("Used it myself", Form::UntaxedUsed)],
        MatterKind::Replacement | MatterKind::Helper | MatterKind::Swap => Vec::new(),
    }
}

impl Screen for GoingOnScreen {
    fn title(&self) -> String {
        "What goes on".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let told = |error: ReportError| match error {
            ReportError::Book(error) => error,
            other => BookError::refused(other.to_string()),
        };
        let all = DateRange::new(book.first_day(), cx.today.max(book.first_day()));
        let fairs = match all {
            Some(range) => reports::fair_days(book, range).map_err(told)?,
            None => Vec::new(),
        };
        self.model = Some(Model {
            matters: book.matters()?,
            fairs,
            loans: reports::loans(book).map_err(told)?,
            helpers: Some(reports::helpers(book, cx.today.year()).map_err(told)?),
            gifts: Some(reports::gifts(book, cx.today.year()).map_err(told)?),
            invoices: crate::export::pdf::invoices(book)
                .map_err(|error| BookError::refused(error.to_string()))?,
            items: book.items()?,
            business: book.settings().business_name().to_owned(),
            folder: book
                .path()
                .parent()
                .map(std::path::Path::to_path_buf)
                .unwrap_or_default(),
        });
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        page_heading(
            ui,
            "What goes on",
            "What began and has not ended: money held, owed or away, pieces at other places. Each step opens its entry.",
        );
        self.body_ui(ui, cx)
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.removing = None;
        self.refused = None;
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.refused = Some(message.to_owned());
    }
}

/// The form of a step, with the matter named.
fn form_of(form: Form, matter: &Matter) -> Action {
    Action::Start(FormWish {
        party: matter.key.clone(),
        ..FormWish::new(form)
    })
}
