//! Every happening in plain words: what the list "What happened?" shows, and what it is found by.
//! Words only; the happenings themselves stand in their own files.

/// One thing that can have happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CatalogueEntry {
    /// Its lasting key.
    pub key: &'static str,
    /// What the owner would say.
    pub label: &'static str,
    /// What it means for the books, in one sentence.
    pub explains: &'static str,
    /// The trade's term.
    pub trade_term: &'static str,
    /// Other words to find it by.
    pub words: &'static [&'static str],
}

impl CatalogueEntry {
    /// Whether it is meant by what was typed: every word begins a word of its label, its term or its other words.
    #[must_use]
    pub fn matches(&self, typed: &str) -> bool {
        let typed = typed.to_lowercase();
        let known = format!(
            "{} {} {}",
            self.label,
            self.trade_term,
            self.words.join(" ")
        )
        .to_lowercase();
        let known: Vec<&str> = known
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        typed
            .split_whitespace()
            .all(|part| known.iter().any(|word| word.starts_with(part)))
    }
}

/// All happenings, the most frequent first.
#[must_use]
pub const fn catalogue() -> &'static [CatalogueEntry] {
    CATALOGUE
}

const CATALOGUE: &[CatalogueEntry] = &[
    CatalogueEntry {
        key: "purchase",
        label: "I bought something",
        explains: "Each thing on the receipt goes to its own kind; carriage, tax and discount are spread over them.",
        trade_term: "purchase",
        words: &[
            "buy",
            "receipt",
            "paper",
            "glue",
            "ink",
            "materials",
            "supplier",
            "cost",
            "own pocket",
            "bill",
            "machine",
            "tool",
        ],
    },
    CatalogueEntry {
        key: "sale",
        label: "I sold something",
        explains: "The sale counts at its full price, and everything taken out of it stands on its own line.",
        trade_term: "sale",
        words: &[
            "sell", "order", "customer", "online", "channel", "till", "invoice", "fee", "discount",
        ],
    },
    CatalogueEntry {
        key: "payout",
        label: "A sales channel paid out",
        explains: "The money settles what the channel owes; it is not a sale, the sales are booked already.",
        trade_term: "settlement of a clearing account",
        words: &[
            "deposit",
            "shop money",
            "arrived",
            "marketplace",
            "transfer from shop",
        ],
    },
    CatalogueEntry {
        key: "customer-paid",
        label: "A customer paid what she owed",
        explains: "What customers owe goes down; the sale was counted when it was made, so this is not a second one.",
        trade_term: "settlement of a receivable",
        words: &["invoice paid", "later", "owed", "wholesale"],
    },
    CatalogueEntry {
        key: "refund",
        label: "I gave a customer money back",
        explains: "The sale stays as it was; what went back stands against it, with any fees the channel gave back.",
        trade_term: "sales return and allowance",
        words: &["return", "complaint", "damaged", "lost parcel"],
    },
    CatalogueEntry {
        key: "batch",
        label: "I made something",
        explains: "Materials become pieces at what went into them; what is spoiled beyond the normal is a loss.",
        trade_term: "production batch",
        words: &["make", "craft", "finished", "pieces", "misprint"],
    },
    CatalogueEntry {
        key: "stock-out",
        label: "Something was spoiled, given away or used",
        explains: "It leaves the stock at what it cost: as a loss, as advertising, or as taken out by you.",
        trade_term: "stock issue at cost",
        words: &["sample", "gift", "waste", "broken", "lost", "own use"],
    },
    CatalogueEntry {
        key: "count",
        label: "I counted what is there",
        explains: "What the books thought is brought to what lies on the shelf, and the difference is valued.",
        trade_term: "stock count",
        words: &["stocktake", "shelf", "inventory", "missing"],
    },
    CatalogueEntry {
        key: "carry",
        label: "I carried pieces to another place",
        explains: "They stay yours until somebody buys them, so nothing is posted; the books know where they lie.",
        trade_term: "consignment",
        words: &["commission", "stockist", "fair", "store room"],
    },
    CatalogueEntry {
        key: "order",
        label: "I ordered something",
        explains: "What it should come to, when it should be here, and where ordering more costs less.",
        trade_term: "purchase order",
        words: &["print house", "supplier", "tiers", "reorder", "lead time"],
    },
    CatalogueEntry {
        key: "arrival",
        label: "Something I ordered arrived",
        explains: "Good and spoiled pieces, and what is billed for them; they join the stock at what they cost.",
        trade_term: "goods received",
        words: &["delivery", "parts", "spoiled", "over", "under"],
    },
    CatalogueEntry {
        key: "later-bill",
        label: "A bill came later for something I bought before",
        explains: "Freight or duty is spread over what that purchase brought, by what each thing cost.",
        trade_term: "landed cost",
        words: &["freight", "duty", "customs", "carriage", "import"],
    },
    CatalogueEntry {
        key: "later-credit",
        label: "A credit came later for something I bought before",
        explains: "What that purchase brought has cost less, for what is left and for what was sold.",
        trade_term: "purchase allowance",
        words: &["credit note", "spoiled", "price lowered", "made good"],
    },
    CatalogueEntry {
        key: "item",
        label: "I want to keep something in stock",
        explains: "A material, a product or packaging gets its unit, so that purchases, batches and sales move it.",
        trade_term: "stock item",
        words: &[
            "inventory",
            "new product",
            "unit",
            "pack",
            "ream",
            "reorder",
        ],
    },
    CatalogueEntry {
        key: "recipe",
        label: "I want to write down how a thing is made",
        explains: "What goes into a batch and how much is normally spoiled; batches are proposed from it.",
        trade_term: "bill of materials",
        words: &["recipe", "batch", "minutes", "loss"],
    },
    CatalogueEntry {
        key: "bundle",
        label: "I sell several things as one set",
        explains: "One name and one price; each sale takes the parts out of the stock, and a return puts them back.",
        trade_term: "bundle",
        words: &["set", "kit", "gift box", "several", "together"],
    },
    CatalogueEntry {
        key: "worth-less",
        label: "Something I have is worth less now",
        explains: "It stays on the shelf and stands at less in the books; the difference is a loss.",
        trade_term: "write-down of stock",
        words: &["damaged", "faded", "old", "out of date", "lower"],
    },
    CatalogueEntry {
        key: "owner-in",
        label: "I put money in",
        explains: "Your own money becomes the business's: it is capital, not income.",
        trade_term: "owner contribution",
        words: &["start", "capital", "savings", "my money"],
    },
    CatalogueEntry {
        key: "owner-out",
        label: "I took money out",
        explains: "Money for yourself: it is neither a wage nor a cost.",
        trade_term: "drawing",
        words: &["pay myself", "wage", "salary", "draw"],
    },
    CatalogueEntry {
        key: "brought-in",
        label: "I brought in something I already had",
        explains: "It joins the business at the lower of what it had cost and what it would fetch today.",
        trade_term: "conversion to business use",
        words: &["already owned", "laptop", "old", "stash", "home"],
    },
    CatalogueEntry {
        key: "own-pocket",
        label: "I paid for a business thing myself",
        explains: "The cost counts for the business; choose whether you put the money in for good or are owed it back.",
        trade_term: "purchase paid by the owner",
        words: &[
            "own pocket",
            "private card",
            "my wallet",
            "paid privately",
            "expense",
        ],
    },
    CatalogueEntry {
        key: "owner-repaid",
        label: "The business paid me back",
        explains: "What the business owed you for things you had paid goes down; it is not a second cost.",
        trade_term: "repayment of the owner's advance",
        words: &["reimburse", "owed back", "repaid"],
    },
    CatalogueEntry {
        key: "private-payment",
        label: "The business paid for something private",
        explains: "It is no cost of the business: either money you took out, or money you owe it.",
        trade_term: "drawing in kind, or due from owner",
        words: &["wrong card", "groceries", "mine", "mistake"],
    },
    CatalogueEntry {
        key: "owner-pays-back",
        label: "I paid the business back",
        explains: "What you owed the business for private things goes down.",
        trade_term: "repayment by the owner",
        words: &["owe", "return", "private"],
    },
    CatalogueEntry {
        key: "settlement",
        label: "I paid off a card or a bill",
        explains: "What was owed goes down; the cost was counted when the thing was bought.",
        trade_term: "settlement of a payable",
        words: &[
            "credit card",
            "statement",
            "invoice",
            "later",
            "sales tax",
            "pay over",
        ],
    },
    CatalogueEntry {
        key: "supplier-refund",
        label: "A supplier gave me money back",
        explains: "The kinds that the purchase went to go down again; it is not income.",
        trade_term: "purchase return and allowance",
        words: &["return", "sent back", "credit note", "cash back"],
    },
    CatalogueEntry {
        key: "channel-paid",
        label: "I paid a sales channel",
        explains: "Its fees came to more than the sales; paying them settles its balance.",
        trade_term: "settlement of a clearing account",
        words: &["fees", "billed", "shop bill", "negative balance"],
    },
    CatalogueEntry {
        key: "shop-fee",
        label: "A sales channel charged me a fee",
        explains: "A fee apart from a sale is a cost, and the channel owes so much less.",
        trade_term: "selling and listing fees",
        words: &[
            "listing",
            "commission",
            "advertising",
            "label",
            "subscription",
        ],
    },
    CatalogueEntry {
        key: "transfer",
        label: "I moved money between my accounts",
        explains: "Nothing was earned or spent: the money lies elsewhere now.",
        trade_term: "transfer",
        words: &["set aside", "savings", "cash", "withdraw", "pay in"],
    },
    CatalogueEntry {
        key: "tax-instalment",
        label: "I paid an instalment of my own tax",
        explains: "A sole owner's income tax is private, so it is money taken out and no cost.",
        trade_term: "estimated tax payment (drawing)",
        words: &["quarterly", "income tax", "estimated", "tax office"],
    },
    CatalogueEntry {
        key: "fair",
        label: "I was at a fair",
        explains: "What the box took is the day's sales; what was paid out of it stands apart, and the day says what it earned.",
        trade_term: "fair day takings",
        words: &["market", "stall", "float", "box", "tally", "counted"],
    },
    CatalogueEntry {
        key: "fair-planned",
        label: "I pack for a fair",
        explains: "The float and the pieces stay yours; the book knows what went along, and a tally sheet can be printed.",
        trade_term: "fair float and consigned stock",
        words: &["market", "stall", "float", "prepare", "tally sheet"],
    },
    CatalogueEntry {
        key: "commission-sent",
        label: "I gave a shop pieces on commission",
        explains: "They stay yours until they are sold, so nothing is posted; the book knows where they lie.",
        trade_term: "goods on consignment",
        words: &["consignment", "gallery", "stockist", "place"],
    },
    CatalogueEntry {
        key: "commission-sold",
        label: "A shop sold pieces on commission",
        explains: "The sale counts at its full price, and the shop's share is a cost.",
        trade_term: "consignment sale",
        words: &["consignment", "statement", "gallery", "share"],
    },
    CatalogueEntry {
        key: "commission-back",
        label: "Pieces came back from a shop",
        explains: "They lie at home again; nothing is posted.",
        trade_term: "consigned goods returned",
        words: &["consignment", "unsold", "gallery"],
    },
    CatalogueEntry {
        key: "commission-missing",
        label: "Pieces are missing at a shop",
        explains: "They are a loss at what they cost; what the shop pays for them stands against it.",
        trade_term: "shrinkage of consigned goods",
        words: &["consignment", "stolen", "lost", "gallery"],
    },
    CatalogueEntry {
        key: "shop-ordered",
        label: "A shop ordered from me",
        explains: "Nothing is posted until it is delivered and invoiced.",
        trade_term: "wholesale order",
        words: &["wholesale", "trade", "stockist", "order"],
    },
    CatalogueEntry {
        key: "shop-invoiced",
        label: "I sent a shop an invoice",
        explains: "It is a sale now, and the shop owes the money until it pays.",
        trade_term: "sale on account",
        words: &["wholesale", "bill", "due", "net 30", "trade"],
    },
    CatalogueEntry {
        key: "shop-paid",
        label: "A shop paid an invoice",
        explains: "What it owes goes down, in parts if it likes; the sale is not counted again.",
        trade_term: "settlement of a receivable",
        words: &["wholesale", "part payment", "transfer"],
    },
    CatalogueEntry {
        key: "invoice-let-go",
        label: "An invoice will not be paid any more",
        explains: "What is left of it becomes a cost; the sale stays as it was.",
        trade_term: "bad debt",
        words: &["write off", "unpaid", "closed shop"],
    },
    CatalogueEntry {
        key: "deposit-taken",
        label: "I took a deposit for an order",
        explains: "It is held until the piece is handed over, and becomes a part of its price then.",
        trade_term: "customer deposit",
        words: &["custom", "commission", "down payment", "advance"],
    },
    CatalogueEntry {
        key: "deposit-delivered",
        label: "I handed over an order with a deposit",
        explains: "Now it is a sale: the deposit is a part of the price, the rest is paid or owed.",
        trade_term: "revenue earned",
        words: &["custom", "balance", "finished", "delivery"],
    },
    CatalogueEntry {
        key: "deposit-back",
        label: "I gave a deposit back",
        explains: "What was held for the order goes down; it never was a sale.",
        trade_term: "customer deposit returned",
        words: &["custom", "cancelled"],
    },
    CatalogueEntry {
        key: "voucher-sold",
        label: "I sold a voucher",
        explains: "Its money is held until it is redeemed; it is no sale yet.",
        trade_term: "gift certificate liability",
        words: &["gift card", "certificate", "coupon"],
    },
    CatalogueEntry {
        key: "voucher-used",
        label: "A voucher was redeemed",
        explains: "What is redeemed becomes a sale; what is left stays on the voucher.",
        trade_term: "deferred revenue earned",
        words: &["gift card", "certificate", "redeem"],
    },
    CatalogueEntry {
        key: "voucher-ended",
        label: "A voucher ended unused",
        explains: "Its money goes back, or what was left of it ran out.",
        trade_term: "breakage of a gift certificate",
        words: &["gift card", "expired", "lapse"],
    },
    CatalogueEntry {
        key: "dispute-opened",
        label: "A payment was taken back from me",
        explains: "The money is in dispute and the fee is a cost; the sale stands until it is decided.",
        trade_term: "chargeback",
        words: &["dispute", "bank", "card", "claim"],
    },
    CatalogueEntry {
        key: "dispute-won",
        label: "I won a dispute",
        explains: "The money is yours again; nothing is sold a second time.",
        trade_term: "chargeback reversed",
        words: &["chargeback", "returned"],
    },
    CatalogueEntry {
        key: "dispute-lost",
        label: "I lost a dispute",
        explains: "The money stays with the customer and stands against the sale, like a refund.",
        trade_term: "chargeback lost, sales return",
        words: &["chargeback"],
    },
    CatalogueEntry {
        key: "replacement",
        label: "I sent a piece again",
        explains: "No second sale: the piece at cost and its label are a cost of their own.",
        trade_term: "replacement at cost",
        words: &["lost parcel", "damaged", "reship", "resend"],
    },
    CatalogueEntry {
        key: "claim-made",
        label: "I claimed from a carrier or insurer",
        explains: "Asking posts nothing; what is paid for it is income then.",
        trade_term: "claim",
        words: &["lost parcel", "insurance", "rain", "damage", "carrier"],
    },
    CatalogueEntry {
        key: "claim-paid",
        label: "A claim was paid",
        explains: "It is income of its own and never a sale.",
        trade_term: "claims and insurance received",
        words: &["insurance", "carrier", "compensation"],
    },
    CatalogueEntry {
        key: "claim-refused",
        label: "A claim was refused",
        explains: "Nothing comes and nothing is posted; what was lost is a cost already.",
        trade_term: "claim denied",
        words: &["insurance", "carrier"],
    },
    CatalogueEntry {
        key: "swap",
        label: "I swapped something",
        explains: "No money moved and yet it is a sale, and a purchase for the same value.",
        trade_term: "barter",
        words: &["trade", "exchange", "barter"],
    },
    CatalogueEntry {
        key: "loan-received",
        label: "Somebody lent the business money",
        explains: "It goes back one day, so it is owed and no income.",
        trade_term: "loan received",
        words: &["borrow", "credit", "family", "bank loan"],
    },
    CatalogueEntry {
        key: "loan-repaid",
        label: "I paid a loan back",
        explains: "A part pays it back, the rest is interest and a cost.",
        trade_term: "loan principal and interest",
        words: &["instalment", "borrow", "interest"],
    },
    CatalogueEntry {
        key: "cash-back",
        label: "I got cash-back",
        explains: "What was bought has cost less; it is no income.",
        trade_term: "purchase rebate",
        words: &["card", "reward", "bonus"],
    },
    CatalogueEntry {
        key: "repair",
        label: "I had something repaired",
        explains: "It keeps a thing working and is a cost at once.",
        trade_term: "repairs and maintenance",
        words: &["mend", "service", "printer", "cutter", "press"],
    },
    CatalogueEntry {
        key: "insurance",
        label: "I paid for insurance",
        explains: "A cost; what covers months to come can be spread over them.",
        trade_term: "insurance premium",
        words: &["policy", "premium", "liability"],
    },
    CatalogueEntry {
        key: "helper-paid",
        label: "I paid somebody for help",
        explains: "A cost, counted for the year by whom and how it was paid.",
        trade_term: "independent contractor",
        words: &[
            "illustrator",
            "photographer",
            "freelance",
            "contractor",
            "wages",
        ],
    },
    CatalogueEntry {
        key: "bought-untaxed",
        label: "I bought something without sales tax",
        explains: "Bought to be sold on; it stays on a list, for what is used otherwise owes use tax.",
        trade_term: "purchase for resale",
        words: &["resale certificate", "tax free", "exempt"],
    },
    CatalogueEntry {
        key: "untaxed-used",
        label: "I used something I had bought without sales tax",
        explains: "Use tax is owed on its price and joins the sales tax to pay over.",
        trade_term: "use tax accrued",
        words: &["resale certificate", "own use"],
    },
    CatalogueEntry {
        key: "adjusting-owed",
        label: "A cost of this year is billed next year",
        explains: "It counts now and is owed; on the first day of next year it is taken back, for the bill itself counts then.",
        trade_term: "accrued expense",
        words: &[
            "adjusting",
            "year end",
            "accrual",
            "owed",
            "not billed",
            "later",
        ],
    },
    CatalogueEntry {
        key: "adjusting-ahead",
        label: "A part of a cost is for next year",
        explains: "It leaves this year's costs and counts on the first day of next year.",
        trade_term: "prepaid expense",
        words: &["adjusting", "year end", "prepayment", "deferred", "ahead"],
    },
    CatalogueEntry {
        key: "adjusting-earned",
        label: "I earned something and have not billed it yet",
        explains: "It counts now and is owed to the business; it is taken back when the bill itself goes out.",
        trade_term: "accrued revenue",
        words: &[
            "adjusting",
            "year end",
            "accrual",
            "interest",
            "not invoiced",
        ],
    },
    CatalogueEntry {
        key: "adjusting-used",
        label: "Something I keep on the books is used up",
        explains: "It becomes a cost of the year; stock that is counted has a form of its own.",
        trade_term: "supplies and prepayments used",
        words: &["adjusting", "year end", "supplies"],
    },
    CatalogueEntry {
        key: "start-up-used",
        label: "A part of the costs of starting counts this year",
        explains: "What was carried forward becomes a cost bit by bit, by the rule of the place.",
        trade_term: "amortisation of start-up costs",
        words: &[
            "adjusting",
            "year end",
            "startup",
            "carried forward",
            "organisational",
        ],
    },
    CatalogueEntry {
        key: "recurring",
        label: "Something I pay for again and again",
        explains: "It is proposed when it is due, and you confirm or skip it; nothing is booked behind your back.",
        trade_term: "recurring purchase",
        words: &[
            "subscription",
            "monthly",
            "yearly",
            "rent",
            "software",
            "ink plan",
            "renewal",
        ],
    },
    CatalogueEntry {
        key: "equipment-gone",
        label: "Equipment was sold, scrapped or taken home",
        explains: "Its wear is counted to that day, then it leaves the list, with the gain or loss shown.",
        trade_term: "disposal of a fixed asset",
        words: &["sell printer", "broken", "stolen", "retire", "machine"],
    },
    CatalogueEntry {
        key: "depreciation",
        label: "Count the wear of my equipment",
        explains: "Each piece's wear up to a day becomes a cost, your private share is taken out, never twice for a month.",
        trade_term: "depreciation",
        words: &["wear", "monthly", "year end", "worth"],
    },
    CatalogueEntry {
        key: "release",
        label: "A part of what I paid ahead is used up",
        explains: "A month's part of a yearly cost moves from paid in advance to its cost.",
        trade_term: "prepaid expense adjustment",
        words: &["prepaid", "year's software", "insurance", "advance"],
    },
    CatalogueEntry {
        key: "opening",
        label: "My business was running before this book",
        explains: "What it had and owed on the first day goes in; the rest is your capital.",
        trade_term: "opening balances",
        words: &["start", "balances", "first day", "migrate"],
    },
    CatalogueEntry {
        key: "manual",
        label: "I want to write debits and credits",
        explains: "An entry line by line, for what no other form covers and for an accountant's adjustments.",
        trade_term: "journal entry",
        words: &["adjusting", "journal", "accountant", "correct"],
    },
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn keys_and_labels_are_unique_and_sentences_end() {
        let keys: BTreeSet<&str> = catalogue().iter().map(|one| one.key).collect();
        let labels: BTreeSet<&str> = catalogue().iter().map(|one| one.label).collect();
        assert_eq!(keys.len(), catalogue().len());
        assert_eq!(labels.len(), catalogue().len());
        for one in catalogue() {
            assert!(one.explains.ends_with('.'), "{}", one.key);
            assert!(!one.words.is_empty(), "{}", one.key);
        }
    }

    #[test]
    fn what_is_typed_finds_its_happening() {
        let found = |typed: &str| -> Vec<&str> {
            catalogue()
                .iter()
                .filter(|one| one.matches(typed))
                .map(|one| one.key)
                .collect()
        };
        assert!(found("subscr").contains(&"recurring"));
        assert!(found("pay myself").contains(&"owner-out"));
        assert!(found("drawing").contains(&"owner-out"));
        assert_eq!(found("zebra"), Vec::<&str>::new());
    }
}
