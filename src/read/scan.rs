//! A first pass over a text, character by character: what would mislead a reader or a terminal, brackets and texts
//! that are not closed, and the bounds that keep the parser's stack and memory small.

use std::iter::Peekable;
use std::str::CharIndices;

use super::problem::{MOST_TOLD, Problem};
use super::problem_kind::ProblemKind;
use super::window::Window;
use crate::text::acts;

/// How deep objects and lists may stand in each other; a plan needs ten.
pub const MAX_DEPTH: usize = 100;

/// How many values a file may hold; a plan of a thousand objects has a tenth of it.
pub const MAX_VALUES: usize = 1_000_000;

/// What the first pass found.
pub(super) struct Outline {
    /// Characters that have no place in a plan.
    pub characters: Vec<Problem>,
    /// Where the structure breaks, if it does; nothing after it was looked at.
    pub broken: Option<Box<Broken>>,
    /// Where the innermost bracket stands that is open at the end.
    pub unclosed: Option<usize>,
}

/// The place where the structure of a text breaks.
pub(super) struct Broken {
    /// What to say.
    pub problem: Problem,
    /// The byte of the window from which on nothing can be trusted.
    pub from: usize,
    /// Whether a bound is passed, so that the text must not be parsed at all.
    pub past_bound: bool,
}

/// Passes over a text once.
pub(super) fn outline(window: Window<'_>) -> Outline {
    let mut scanner = Scanner {
        window,
        chars: window.text.char_indices().peekable(),
        open: Vec::new(),
        values: 0,
        characters: Vec::new(),
    };
    let broken = scanner.run().err();
    Outline {
        characters: scanner.characters,
        broken,
        unclosed: scanner.open.last().copied(),
    }
}

struct Scanner<'t> {
    window: Window<'t>,
    chars: Peekable<CharIndices<'t>>,
    open: Vec<usize>,
    values: usize,
    characters: Vec<Problem>,
}

impl Scanner<'_> {
    fn run(&mut self) -> Result<(), Box<Broken>> {
        while let Some((at, c)) = self.next() {
            match c {
                '"' => self.text(at)?,
                '/' => self.comment(at)?,
                '{' | '[' => self.open(at)?,
                '}' | ']' => self.close(at, c)?,
                ',' => self.count(at)?,
                c if c.is_whitespace() && !c.is_ascii() => {
                    let message = format!("U+{:04X} is a blank that JSON does not know", u32::from(c));
                    self.remark(at, message, Some("write a plain space"));
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// The next character, remarked on if it has no place in a plan.
    fn next(&mut self) -> Option<(usize, char)> {
        let (at, c) = self.chars.next()?;
        let hidden = match c {
            '\n' | '\t' => false,
            '\r' => self.peek() != Some('\n'),
            c => acts(c),
        };
        if hidden {
            let code = u32::from(c);
            self.remark(
                at,
                format!("the control character U+{code:04X} has no place in a plan"),
                None,
            );
        }
        Some((at, c))
    }

    fn peek(&mut self) -> Option<char> {
        self.chars.peek().map(|(_, c)| *c)
    }

    /// Keeps a remark on a character; a file full of them is no text, and the first few tell as much as all.
    fn remark(&mut self, at: usize, message: String, help: Option<&str>) {
        if self.characters.len() < MOST_TOLD {
            let mut problem = Problem::at(ProblemKind::Character, self.window.char_span(at), message, "here");
            problem.help = help.map(str::to_owned);
            self.characters.push(problem);
        }
    }

    fn text(&mut self, start: usize) -> Result<(), Box<Broken>> {
        loop {
            match self.next() {
                Some((_, '"')) => return Ok(()),
                Some((_, '\\')) if self.peek() != Some('\n') => {
                    self.next();
                }
                Some((at, '\t')) => {
                    self.remark(at, "a raw tab in a text".to_owned(), Some("write it as `\\t`"));
                }
                Some((_, '\n')) | None => return Err(self.unclosed_text(start)),
                Some(_) => {}
            }
        }
    }

    fn unclosed_text(&self, start: usize) -> Box<Broken> {
        let rest = &self.window.text[start..];
        let line = rest.lines().next().unwrap_or(rest);
        let span = self.window.span(start, start + line.len());
        let message = "a text is not closed on its line";
        broken(
            start,
            Problem::at(
                ProblemKind::NotClosed,
                span,
                message,
                "expected `\"` before the line ends",
            ),
        )
    }

    fn comment(&mut self, start: usize) -> Result<(), Box<Broken>> {
        match self.peek() {
            Some('/') => while self.next().is_some_and(|(_, c)| c != '\n') {},
            Some('*') => {
                self.next();
                let mut before = ' ';
                loop {
                    match self.next() {
                        Some((_, '/')) if before == '*' => break,
                        Some((_, c)) => before = c,
                        None => return Err(self.unclosed_comment(start)),
                    }
                }
            }
            // A lone slash is the parser's to tell.
            _ => {}
        }
        Ok(())
    }

    fn unclosed_comment(&self, start: usize) -> Box<Broken> {
        let span = self.window.span(start, start + 2);
        let label = "expected `*/` before the file ends";
        broken(
            start,
            Problem::at(ProblemKind::NotClosed, span, "a comment is not closed", label),
        )
    }

    fn open(&mut self, at: usize) -> Result<(), Box<Broken>> {
        self.open.push(at);
        if self.open.len() > MAX_DEPTH {
            let message = format!("more than {MAX_DEPTH} objects and lists inside each other");
            return Err(self.past_bound(at, message));
        }
        self.count(at)
    }

    /// Every value but the first of an object or list follows a comma, so brackets and commas count them.
    fn count(&mut self, at: usize) -> Result<(), Box<Broken>> {
        self.values += 1;
        if self.values > MAX_VALUES {
            return Err(self.past_bound(at, format!("more than {MAX_VALUES} values in one file")));
        }
        Ok(())
    }

    fn past_bound(&self, at: usize, message: String) -> Box<Broken> {
        Box::new(Broken {
            problem: Problem::at(
                ProblemKind::TooMuch,
                self.window.char_span(at),
                message,
                "nothing is read from here on",
            ),
            from: at,
            past_bound: true,
        })
    }

    fn close(&mut self, at: usize, found: char) -> Result<(), Box<Broken>> {
        let span = self.window.char_span(at);
        let problem = match self.open.pop() {
            None => Problem::at(
                ProblemKind::Bracket,
                span,
                format!("`{found}` closes nothing"),
                "nothing is open here",
            ),
            Some(opened) => {
                let (opening, due) = self.window.bracket(opened);
                if due == found {
                    return Ok(());
                }
                Problem::at(
                    ProblemKind::Bracket,
                    span,
                    format!("found `{found}`, expected `{due}`"),
                    format!("expected `{due}`"),
                )
                .also(
                    self.window.char_span(opened),
                    format!("this `{opening}` is still open"),
                )
            }
        };
        Err(broken(at, problem))
    }
}

fn broken(from: usize, problem: Problem) -> Box<Broken> {
    Box::new(Broken {
        problem,
        from,
        past_bound: false,
    })
}
