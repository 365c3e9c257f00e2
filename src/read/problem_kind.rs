//! Kinds of problems of an input, each with a code that programs can rely on.

/// What kind of problem keeps an input from being used. The codes are permanent: a test compares them with
/// `tests/suite/problem-codes.txt`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ProblemKind {
    /// The text does not follow the grammar of JSON with comments.
    Syntax,
    /// A bracket that closes nothing, or another than is open.
    Bracket,
    /// A text, a comment or a bracket that is not closed.
    NotClosed,
    /// A character that may not stand there.
    Character,
    /// The outermost value is no object, or there is none.
    NotAnObject,
    /// More values, or deeper ones, than are read.
    TooMuch,
    /// A key stands twice in an object.
    KeyGivenTwice,
    /// An assignment that can't be read.
    Assignment,
    /// A key that the format does not know.
    UnknownKey,
    /// A key that the format requires.
    MissingKey,
    /// A name that an object can't have.
    NameNotAllowed,
    /// A value of another type than is expected.
    WrongType,
    /// A number without its unit.
    UnitMissing,
    /// A quantity that can't be read: no number, an unknown unit, a unit of something else.
    WrongQuantity,
    /// A text that is none of those expected.
    WrongValue,
    /// A text that has not the required form.
    WrongForm,
    /// A number, a size or a count beyond what is accepted.
    OutOfRange,
    /// A value that the format does not accept for another reason.
    NotAccepted,
    /// A name of something that the plan does not hold.
    UnknownName,
    /// A fitting or a pipe that the tables do not know.
    UnknownPart,
    /// A pump curve that no pump has.
    PumpCurve,
    /// Things that follow one another in a circle.
    Circle,
    /// Pipes or streams that are joined in a way that can't be.
    Joint,
    /// Water that would have to run upward, or a floor above its rim.
    Uphill,
    /// Water without a way out.
    NoWayOut,
    /// A photograph or sheet that the plan refers to and that can't be used.
    Attachment,
    /// A file of cells that is no table: no comma-separated text, no workbook, or too large.
    NoTable,
    /// A column that a table requires.
    MissingColumn,
    /// A cell that a row requires.
    MissingCell,
    /// A row that says again, or otherwise, what another row says.
    RowGivenTwice,
    /// A page of a rule or of a house.
    RulePage,
    /// A file that can't be read.
    File,
    /// A text that is not UTF-8.
    Encoding,
    /// How many problems follow that are not told.
    More,
}

impl ProblemKind {
    /// Every kind, in the order of the list above.
    pub const ALL: [Self; 34] = [
        Self::Syntax,
        Self::Bracket,
        Self::NotClosed,
        Self::Character,
        Self::NotAnObject,
        Self::TooMuch,
        Self::KeyGivenTwice,
        Self::Assignment,
        Self::UnknownKey,
        Self::MissingKey,
        Self::NameNotAllowed,
        Self::WrongType,
        Self::UnitMissing,
        Self::WrongQuantity,
        Self::WrongValue,
        Self::WrongForm,
        Self::OutOfRange,
        Self::NotAccepted,
        Self::UnknownName,
        Self::UnknownPart,
        Self::PumpCurve,
        Self::Circle,
        Self::Joint,
        Self::Uphill,
        Self::NoWayOut,
        Self::Attachment,
        Self::NoTable,
        Self::MissingColumn,
        Self::MissingCell,
        Self::RowGivenTwice,
        Self::RulePage,
        Self::File,
        Self::Encoding,
        Self::More,
    ];

    /// The code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Syntax => "syntax",
            Self::Bracket => "bracket",
            Self::NotClosed => "not-closed",
            Self::Character => "character",
            Self::NotAnObject => "not-an-object",
            Self::TooMuch => "too-much",
            Self::KeyGivenTwice => "key-given-twice",
            Self::Assignment => "assignment",
            Self::UnknownKey => "unknown-key",
            Self::MissingKey => "missing-key",
            Self::NameNotAllowed => "name-not-allowed",
            Self::WrongType => "wrong-type",
            Self::UnitMissing => "unit-missing",
            Self::WrongQuantity => "wrong-quantity",
            Self::WrongValue => "wrong-value",
            Self::WrongForm => "wrong-form",
            Self::OutOfRange => "out-of-range",
            Self::NotAccepted => "not-accepted",
            Self::UnknownName => "unknown-name",
            Self::UnknownPart => "unknown-part",
            Self::PumpCurve => "pump-curve",
            Self::Circle => "circle",
            Self::Joint => "joint",
            Self::Uphill => "uphill",
            Self::NoWayOut => "no-way-out",
            Self::Attachment => "attachment",
            Self::NoTable => "no-table",
            Self::MissingColumn => "missing-column",
            Self::MissingCell => "missing-cell",
            Self::RowGivenTwice => "row-given-twice",
            Self::RulePage => "rule-page",
            Self::File => "file",
            Self::Encoding => "encoding",
            Self::More => "more",
        }
    }
}
