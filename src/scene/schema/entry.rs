//! What one entry of the table says of a field: its key, what may stand there, what holds where
//! nothing does. The type of an entry fixes the type of the value read, so that a field cannot
//! be read as something else.

use crate::units::Dimension;

/// A row of the table, whatever stands in the field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    pub key: &'static str,
    /// What it is, in one line.
    pub about: &'static str,
    pub entry: Entry,
    /// The least and the greatest value in SI, of each figure where there are several.
    pub limits: Option<[f64; 2]>,
    /// What else the value must keep to, which a rule of its own checks.
    pub also: &'static str,
    pub absent: Absent,
    /// What the editor calls it; none where the editor does not show it.
    pub edited_as: Option<&'static str>,
    pub role: Role,
}

/// What can stand in a field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Entry {
    /// One quantity with its unit.
    Quantity(Dimension),
    /// Two lengths: along the vehicle and across it, or forwards and up.
    Pair,
    /// At most this many lengths.
    Lengths(usize),
    /// A whole number from and to.
    Count(usize, usize),
    Flag,
    Text,
    /// One of some words.
    Choice(Vocabulary),
    /// The name of something.
    Name(Refers),
    /// One name or a list of names.
    Names(Refers),
    /// Fields of its own.
    Group(&'static Group),
    /// Any number of things with fields of their own.
    List(&'static Group),
}

/// The words of a choice.
#[derive(Clone, Copy, Debug)]
pub struct Vocabulary(pub fn() -> Vec<&'static str>);

impl PartialEq for Vocabulary {
    fn eq(&self, other: &Self) -> bool {
        (self.0)() == (other.0)()
    }
}

/// What a name may be the name of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refers {
    Bag,
    Capture,
    Chock,
    Strut,
    Limb,
    /// Somebody who lies there.
    Person,
    /// An outlet; a bag where the scene writes no outlets.
    Hose,
    /// A stack or a bag.
    Support,
    /// A stack or the beam.
    Timber,
    /// Whatever stands on the ground: the vehicle, a stack, void fill or a chock.
    Base,
    /// A side window of the vehicle.
    Opening,
    /// A roof post of the vehicle.
    Post,
}

/// The value of a field that is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Absent {
    /// It must be there.
    Needed,
    /// It must be there together with another field of its group.
    NeededThere,
    /// This value, in RON.
    Takes(&'static str),
    /// Nothing stands in its place, or what the reader works out: in words.
    Means(&'static str),
}

/// What a field is to the others of its group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    Plain,
    /// Exactly one of these stands in a group.
    Alternative,
    /// What an order tells: exactly one of these stands in it. Some go on until a condition
    /// holds.
    Verb {
        lasts: bool,
    },
    /// What a scene says of itself.
    Word(Word),
}

/// A text of a scene about itself: what becomes of it in a scene that is made from this one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Word {
    /// A scene that is `like` another takes it over from that one.
    pub inherited: bool,
    /// It still holds after the set-up has been edited.
    pub outlives_edits: bool,
    /// The outcome is held against it.
    pub judged: bool,
}

/// The fields of one kind of thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Group {
    /// The key that it stands under; empty for the scene itself.
    pub key: &'static str,
    pub fields: &'static [Field],
}

/// A row, and how its value is read.
#[derive(Clone, Copy, Debug)]
pub struct Typed<K> {
    pub field: Field,
    pub kind: K,
}

#[derive(Clone, Copy, Debug)]
pub struct Quantity {
    pub dimension: Dimension,
    pub limits: [f64; 2],
}

#[derive(Clone, Copy, Debug)]
pub struct Pair {
    pub limits: [f64; 2],
}

#[derive(Clone, Copy, Debug)]
pub struct Lengths {
    pub most: usize,
    pub limits: [f64; 2],
}

#[derive(Clone, Copy, Debug)]
pub struct Count {
    pub limits: [usize; 2],
}

#[derive(Clone, Copy, Debug)]
pub struct Flag;

/// A text, which may be a name.
#[derive(Clone, Copy, Debug)]
pub struct Text;

#[derive(Clone, Copy, Debug)]
pub struct Names;

#[derive(Clone, Copy, Debug)]
pub struct Choice<T: Worded>(std::marker::PhantomData<fn() -> T>);

#[derive(Clone, Copy, Debug)]
pub struct Nested;

#[derive(Clone, Copy, Debug)]
pub struct Items;

/// What is chosen by a word.
pub trait Worded: Copy + 'static {
    /// Every word with its value, in the order in which they are listed.
    fn all() -> Vec<(&'static str, Self)>;
}

fn words<T: Worded>() -> Vec<&'static str> {
    T::all().into_iter().map(|(word, _)| word).collect()
}

const fn typed<K>(key: &'static str, about: &'static str, entry: Entry, kind: K) -> Typed<K> {
    let field = Field {
        key,
        about,
        entry,
        limits: None,
        also: "",
        absent: Absent::Needed,
        edited_as: None,
        role: Role::Plain,
    };
    Typed { field, kind }
}

pub const fn quantity(
    key: &'static str,
    about: &'static str,
    dimension: Dimension,
    limits: [f64; 2],
) -> Typed<Quantity> {
    typed(key, about, Entry::Quantity(dimension), Quantity { dimension, limits }).within(limits)
}

pub const fn length(key: &'static str, about: &'static str, limits: [f64; 2]) -> Typed<Quantity> {
    quantity(key, about, Dimension::Length, limits)
}

pub const fn pair(key: &'static str, about: &'static str, limits: [f64; 2]) -> Typed<Pair> {
    typed(key, about, Entry::Pair, Pair { limits }).within(limits)
}

pub const fn lengths(
    key: &'static str,
    about: &'static str,
    most: usize,
    limits: [f64; 2],
) -> Typed<Lengths> {
    typed(key, about, Entry::Lengths(most), Lengths { most, limits }).within(limits).or("[]")
}

pub const fn count(key: &'static str, about: &'static str, limits: [usize; 2]) -> Typed<Count> {
    typed(key, about, Entry::Count(limits[0], limits[1]), Count { limits })
}

/// True or false, with the default.
pub const fn flag(key: &'static str, about: &'static str, or: bool) -> Typed<Flag> {
    typed(key, about, Entry::Flag, Flag).or(if or { "true" } else { "false" })
}

pub const fn text(key: &'static str, about: &'static str) -> Typed<Text> {
    typed(key, about, Entry::Text, Text)
}

/// By which others refer to a thing.
pub const fn name(about: &'static str) -> Typed<Text> {
    text("name", about)
}

/// What every thing of a list has.
pub const NAME: Typed<Text> = name("what it is called");

pub const fn choice<T: Worded>(key: &'static str, about: &'static str) -> Typed<Choice<T>> {
    let kind = Choice(std::marker::PhantomData);
    typed(key, about, Entry::Choice(Vocabulary(words::<T>)), kind)
}

pub const fn name_of(key: &'static str, about: &'static str, refers: Refers) -> Typed<Text> {
    typed(key, about, Entry::Name(refers), Text)
}

pub const fn names_of(key: &'static str, about: &'static str, refers: Refers) -> Typed<Names> {
    typed(key, about, Entry::Names(refers), Names)
}

/// Names that are not those of a scene's own things.
pub const fn texts(key: &'static str, about: &'static str) -> Typed<Names> {
    typed(key, about, Entry::Text, Names)
}

pub const fn group(about: &'static str, of: &'static Group) -> Typed<Nested> {
    typed(of.key, about, Entry::Group(of), Nested)
}

/// A group that stands under another key than its own.
pub const fn group_at(key: &'static str, about: &'static str, of: &'static Group) -> Typed<Nested> {
    typed(key, about, Entry::Group(of), Nested)
}

/// Things that may all be left out.
pub const fn list(about: &'static str, of: &'static Group) -> Typed<Items> {
    typed(of.key, about, Entry::List(of), Items).absent("none")
}

impl<K> Typed<K> {
    pub const fn key(&self) -> &'static str {
        self.field.key
    }

    /// Left out, it has this value, in RON.
    pub const fn or(mut self, ron: &'static str) -> Self {
        self.field.absent = Absent::Takes(ron);
        self
    }

    /// Left out, nothing stands in its place, or what the reader works out.
    pub const fn absent(mut self, means: &'static str) -> Self {
        self.field.absent = Absent::Means(means);
        self
    }

    pub const fn needed(mut self) -> Self {
        self.field.absent = Absent::Needed;
        self
    }

    pub const fn needed_there(mut self) -> Self {
        self.field.absent = Absent::NeededThere;
        self
    }

    const fn within(mut self, limits: [f64; 2]) -> Self {
        self.field.limits = Some(limits);
        self
    }

    /// Another limit, which a rule of its own checks.
    pub const fn also(mut self, also: &'static str) -> Self {
        self.field.also = also;
        self
    }

    /// Shown in the editor under this label.
    pub const fn label(mut self, label: &'static str) -> Self {
        self.field.edited_as = Some(label);
        self
    }

    pub const fn alternative(mut self) -> Self {
        self.field.role = Role::Alternative;
        self.absent("")
    }

    /// The verb of an order.
    pub const fn verb(mut self, said: &'static str, lasts: bool) -> Self {
        self.field.role = Role::Verb { lasts };
        self.absent("").label(said)
    }

    pub const fn word(mut self, word: Word) -> Self {
        self.field.role = Role::Word(word);
        self
    }
}

impl Field {
    /// What the editor calls it.
    pub const fn label(&self) -> &'static str {
        match self.edited_as {
            Some(label) => label,
            None => self.key,
        }
    }

    /// Its value in RON where it is left out, if it then has one.
    pub fn default(&self) -> Option<&'static str> {
        match self.absent {
            Absent::Takes(ron) => Some(ron),
            _ => None,
        }
    }

    /// What can be chosen where it is not typed.
    pub fn choices(&self) -> Vec<&'static str> {
        match self.entry {
            Entry::Choice(words) => (words.0)(),
            _ => Vec::new(),
        }
    }

    /// What names in it are names of.
    pub fn refers(&self) -> Option<Refers> {
        match self.entry {
            Entry::Name(refers) | Entry::Names(refers) => Some(refers),
            _ => None,
        }
    }
}

impl Group {
    /// The fields of which exactly one stands in the group.
    pub fn alternatives(&self) -> impl Iterator<Item = &'static Field> {
        let one_of = |role| matches!(role, Role::Alternative | Role::Verb { .. });
        self.fields.iter().filter(move |field| one_of(field.role))
    }
}

/// The fields of a group: each a constant of its own for the reader, and all of them in
/// `GROUP`.
macro_rules! fields {
    ($key:literal: $($name:ident: $kind:ty = $entry:expr,)*) => {
        $(pub const $name: crate::scene::schema::entry::Typed<$kind> = $entry;)*
        pub const GROUP: crate::scene::schema::entry::Group =
            crate::scene::schema::entry::Group { key: $key, fields: &[$($name.field),*] };
    };
}
pub(crate) use fields;
