//! The table of contents: its lines are placed before anybody knows on which page a section begins, and numbered after.
//! What a section is, is `layout`'s.

use super::layout::{Block, LeadsTo, MARGIN, Sheet};

const CONTENTS: f32 = 8.5;
/// The distance of its lines, in heights of a letter: as usual, and at the closest.
const USUAL: f32 = 1.3;
const CLOSEST: f32 = 1.1;

impl Sheet {
    /// The contents: each title with the page on which its section begins, filled in when all are laid out. The
    /// sections are those that follow, in this order; a title without a section has no page.
    pub fn contents(&mut self, titles: &[(String, bool)]) {
        let first = self.sections.len();
        let mut n_sections = 0;
        let mut items = Vec::new();
        let size = CONTENTS;
        // A line or two on a page of their own are worth setting all of them closer.
        let fitting = (self.bottom() - self.y) / titles.len().max(1) as f32;
        let step = if fitting < size * CLOSEST {
            size * USUAL
        } else {
            fitting.min(size * USUAL)
        };
        for (title, has_section) in titles {
            if self.y + step > self.bottom() {
                self.turn_page();
            }
            self.y += step;
            let run = self.put(MARGIN, self.y, size, false, title);
            let mut item = vec![run];
            if *has_section {
                let leads_to = Some(LeadsTo::Section(first + n_sections));
                n_sections += 1;
                let number = self.put(MARGIN + self.width(), self.y, size, false, "0");
                for part in [run, number] {
                    if let Some(run) = self.runs.get_mut(part) {
                        run.leads_to = leads_to;
                    }
                }
                self.numbers.push(number);
                item.push(number);
            }
            items.push(item);
        }
        self.blocks.push(Block::Contents(items));
        self.space(8.0);
    }

    /// Puts the page numbers into the contents.
    pub(super) fn number_contents(&mut self) {
        for idx in std::mem::take(&mut self.numbers) {
            let Some(run) = self.runs.get(idx) else {
                continue;
            };
            let Some(LeadsTo::Section(section)) = run.leads_to else {
                continue;
            };
            let page = self.sections.get(section).map_or(0, |one| one.page + 1);
            let text = page.to_string();
            let wide = self.plain.width(&text, CONTENTS);
            if let Some(run) = self.runs.get_mut(idx) {
                run.x -= wide;
                run.text = text;
            }
        }
    }
}
