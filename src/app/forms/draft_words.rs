//! The words of each form: its question, the line under it, its button, its name among what is kept for later.
//! What a form writes is `draft`'s.

use super::draft::Draft;

impl Draft {
    /// The question at the head of the form.
    #[must_use]
    pub fn title(&self) -> String {
        match self {
            Self::Purchase(_) => "What did you buy?".to_owned(),
            Self::Sale(_) => "What did you sell?".to_owned(),
            Self::Refund(draft) if draft.is_from_supplier => {
                "What did the supplier give back?".to_owned()
            }
            Self::Refund(_) => "What did you give back?".to_owned(),
            Self::Short(draft) => draft.kind.form().title.to_owned(),
            Self::BroughtIn(_) => "What did you bring in?".to_owned(),
            Self::Recurring(_) => "What do you pay for again and again?".to_owned(),
            Self::Plan(draft) if draft.id == 0 => "What is wanted?".to_owned(),
            Self::Plan(_) => "Change the plan".to_owned(),
            Self::Manual(_) => "An entry in debits and credits".to_owned(),
            Self::Opening(_) => "What did the business have and owe?".to_owned(),
            Self::Amend(draft) => format!("Change entry {}", draft.number),
            Self::TakeBack(draft) => format!("Take entry {} back", draft.number),
            Self::Item(draft) if draft.changes.is_empty() => {
                "What do you keep in stock?".to_owned()
            }
            Self::Item(draft) => format!("Change {}", draft.name.trim()),
            Self::Recipe(_) => "How is it made?".to_owned(),
            Self::Bundle(draft) if draft.changes.is_empty() => {
                "What do you sell as one set?".to_owned()
            }
            Self::Bundle(draft) => format!("Change {}", draft.name.trim()),
            Self::WorthLess(_) => "What is worth less now?".to_owned(),
            Self::Batch(_) => "What did you make?".to_owned(),
            Self::Out(_) => "What left without being sold?".to_owned(),
            Self::Count(_) => "What did you count?".to_owned(),
            Self::Carry(_) => "What did you carry where?".to_owned(),
            Self::Ordering(draft) => draft.title().to_owned(),
            Self::Later(draft) if draft.is_credit => "A credit that came later".to_owned(),
            Self::Later(_) => "A bill that came later".to_owned(),
            Self::Occasion(draft) => draft
                .occasion()
                .map_or("", |occasion| occasion.title)
                .to_owned(),
        }
    }

    /// Its name among what is kept for later: the question, and what it is about as far as that is typed.
    #[must_use]
    pub fn name(&self) -> String {
        let first = |texts: &[&str]| {
            let found = texts.iter().find(|text| !text.trim().is_empty());
            found.map(|text| text.trim().chars().take(40).collect::<String>())
        };
        let about = match self {
            Self::Purchase(draft) => {
                let what = draft.lines.first().map_or("", |line| &line.what);
                first(&[&draft.supplier, what])
            }
            Self::Sale(draft) => {
                let what = draft.lines.first().map_or("", |line| &line.what);
                first(&[what, &draft.reference])
            }
            Self::Refund(draft) => first(&[&draft.memo, &draft.search, &draft.amount]),
            Self::Short(draft) => first(&[&draft.party, &draft.memo, &draft.amount]),
            Self::BroughtIn(draft) => first(&[&draft.what]),
            Self::Recurring(draft) => first(&[&draft.name]),
            Self::Plan(draft) => first(&[&draft.name]),
            Self::Manual(draft) => first(&[&draft.memo]),
            Self::Item(draft) => first(&[&draft.name]),
            Self::Recipe(draft) => first(&[&draft.product]),
            Self::Bundle(draft) => first(&[&draft.name]),
            Self::WorthLess(draft) => first(&[&draft.what]),
            Self::Batch(draft) => first(&[&draft.product]),
            Self::Out(draft) => {
                let what = draft.lines.first().map_or("", |line| &line.what);
                first(&[what, &draft.memo])
            }
            Self::Count(draft) => first(&[&draft.place]),
            Self::Carry(draft) => first(&[&draft.to]),
            Self::Ordering(draft) => first(&[draft.about()]),
            Self::Later(draft) => first(&[&draft.supplier, &draft.search, &draft.amount]),
            Self::Occasion(draft) => first(&[draft.about()]),
            Self::Opening(_) | Self::Amend(_) | Self::TakeBack(_) => None,
        };
        match about {
            Some(about) => format!("{} {about}", self.title()),
            None => self.title(),
        }
    }

    /// The second line: what it means, with the trade's term.
    #[must_use]
    pub fn second_line(&self) -> &'static str {
        match self {
            Self::Purchase(_) => {
                "One receipt (purchase), as many kinds of things as it holds. The books are written beside it as you type."
            }
            Self::Sale(_) => {
                "The whole sale first, then each thing taken out of it, so that what lands agrees with the books."
            }
            Self::Refund(draft) if draft.is_from_supplier => {
                "The purchase goes down again (purchase return); it is no income."
            }
            Self::Refund(_) => {
                "The sale stays as it was; what went back stands against it (sales return and allowance)."
            }
            Self::Short(draft) => draft.kind.form().second,
            Self::BroughtIn(_) => {
                "Something you already had joins the business as your capital (conversion to business use)."
            }
            Self::Recurring(_) => "A subscription, an ink plan, a rent (recurring purchase).",
            Self::Plan(_) => {
                "A line of the start-up plan (budget): what it may cost, when, and whether it can wait."
            }
            Self::Manual(_) => {
                "A journal entry, line by line, for an accountant's adjustments and what no form covers."
            }
            Self::Opening(_) => {
                "Opening balances on the first day of the book; what is left over is your capital."
            }
            Self::Occasion(draft) => draft.occasion().map_or("", |occasion| occasion.second),
            Self::Amend(_) => "The earlier version is kept with the reason.",
            Self::TakeBack(_) => "A reversal: every debit becomes a credit.",
            Self::Item(_) => {
                "A material, a product, packaging (stock item): purchases, batches and sales move it from then on."
            }
            Self::Recipe(_) => {
                "What goes into one batch (bill of materials); batches are proposed from it."
            }
            Self::Bundle(_) => {
                "Several things sold under one name and price (bundle); each stays in stock by itself."
            }
            Self::WorthLess(_) => {
                "It stays on the shelf and stands at less in the books (write-down of stock); the difference is a loss."
            }
            Self::Batch(_) => {
                "Materials become pieces (production batch); what one piece costs is worked out as you type."
            }
            Self::Out(_) => {
                "It leaves the stock at what it cost (stock issue), never at its price."
            }
            Self::Count(_) => "The books are brought to what lies on the shelf (stock count).",
            Self::Carry(_) => {
                "They stay yours and lie elsewhere: with a shop on commission (consignment), at a fair."
            }
            Self::Ordering(draft) => draft.second_line(),
            Self::Later(draft) if draft.is_credit => {
                "For something bought before (purchase allowance): nothing goes back, and what that purchase brought has \
                 cost less."
            }
            Self::Later(_) => {
                "Freight, duty for something bought before (landed cost): what that purchase brought becomes dearer."
            }
        }
    }

    /// What the button says.
    #[must_use]
    pub fn primary_words(&self) -> &'static str {
        match self {
            Self::Recurring(_) => "Keep it in the list",
            Self::Item(_) => "Keep it in stock",
            Self::Recipe(_) => "Keep the recipe",
            Self::Bundle(_) => "Keep the set",
            Self::Plan(_) => "Keep it in the plan",
            Self::Amend(_) => "Change it",
            Self::TakeBack(_) => "Take it back",
            Self::Ordering(draft) => draft.primary_words(),
            _ => "Write it down",
        }
    }
}
