//! Where the keyboard is: brought into sight when it moves, and handed on when what it was on goes away.
//! What the keys do is each widget's own business.

use egui::{Context, Id, Key, Response, Ui};

/// Where the keyboard was last, and where it is to go.
#[derive(Clone, Copy, Debug, Default)]
struct Place {
    /// The upper edge of what it was on, and the pass in which it was.
    was: Option<(f32, u64)>,
    /// The upper edge beneath which it is to go, in this pass alone.
    sought: Option<(f32, u64)>,
    /// The last thing above that edge, taken when there is none beneath.
    above: Option<Id>,
}

fn place(ctx: &Context) -> Place {
    ctx.data(|data| data.get_temp(Id::unique("place of the keyboard")))
        .unwrap_or_default()
}

fn keep(ctx: &Context, place: Place) {
    ctx.data_mut(|data| data.insert_temp(Id::unique("place of the keyboard"), place));
}

/// Gives the keyboard to the first thing of a page that has just opened, unless a field asks for it, so that Tab does
/// not begin at the top of the window.
pub fn take_up(ui: &Ui) {
    let ctx = ui.ctx();
    let sought = Some((ui.cursor().top(), ctx.cumulative_pass_nr()));
    let begun = Place {
        sought,
        ..Place::default()
    };
    keep(ctx, begun);
}

/// Hands the keyboard to the next thing beneath, when what it was on has gone from the page: answering a question or
/// choosing a file takes the buttons away, and Tab would begin at the top of the window again.
pub fn hand_on(ui: &Ui) {
    let ctx = ui.ctx();
    let pass = ctx.cumulative_pass_nr();
    let mut known = place(ctx);
    if ctx.memory(egui::Memory::focused).is_some() {
        // It may be in a list that opened over the page; that belongs to where it was.
        known.was = known.was.map(|(top, _pass)| (top, pass));
        keep(ctx, known);
        return;
    }
    let is_let_go = ui.input(|input| input.pointer.any_pressed() || input.key_pressed(Key::Escape));
    if let Some((top, at)) = known.was.take()
        && !is_let_go
        && pass.saturating_sub(at) <= 3
    {
        known.sought = Some((top, pass));
        known.above = None;
    } else if let (Some(sought), Some(above)) = (known.sought.take(), known.above.take()) {
        ctx.memory_mut(|memory| memory.request_focus(above));
        // It may be gone in its turn before it has the keyboard.
        known.was = Some((sought.0, pass));
    }
    keep(ctx, known);
}

/// Remembers that the keyboard is on a widget and brings it into sight, or takes it for a widget that it is handed to.
pub fn follow(ui: &Ui, response: &Response) {
    let ctx = ui.ctx();
    if response.has_focus() {
        let mut known = place(ctx);
        known.was = Some((response.rect.top(), ctx.cumulative_pass_nr()));
        keep(ctx, known);
        let sight = ui.clip_rect();
        if response.gained_focus()
            && response.rect.is_finite()
            && sight.is_finite()
            && !sight.contains_rect(response.rect)
        {
            response.scroll_to_me(None);
        }
        return;
    }
    let mut known = place(ctx);
    let Some((top, pass)) = known.sought else {
        return;
    };
    if pass != ctx.cumulative_pass_nr() || !response.enabled() {
        return;
    }
    if response.rect.top() > top - 4.0 {
        response.request_focus();
        known = Place {
            was: Some((response.rect.top(), pass)),
            ..Place::default()
        };
    } else {
        known.above = Some(response.id);
    }
    keep(ctx, known);
}
