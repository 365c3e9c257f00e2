//! What was read from a form of answers.

use super::paint::Paint;
use crate::answers::Answered;

/// How much was answered, what could not be read and where, and what is still open.
pub fn answered(answered: &Answered, paint: Paint) -> String {
    let mut out = String::new();
    for unread in &answered.unread {
        out.push_str(&paint.item(&format!("not read: {unread}")));
    }
    for note in &answered.notes {
        out.push_str(&paint.item(note));
    }
    let plural = if answered.answered == 1 { "" } else { "s" };
    let mut told = format!("{} answer{plural} read", answered.answered);
    if !answered.open.is_empty() {
        told.push_str(&format!("; not answered: {}", answered.open.join(", ")));
    }
    if !answered.unread.is_empty() {
        told.push_str(&format!("; {} could not be read", answered.unread.len()));
    }
    out.push_str(&paint.fill(&(told + "."), "", "  "));
    out.push('\n');
    out
}
