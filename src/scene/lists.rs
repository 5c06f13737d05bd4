//! What a scene's lists hold under which name: fields that name something find it here.

use super::equipment::CarriedBy;
use super::faults::{CrackedTimber, SlickTarget};
use super::field_reader::{Fields, all, names_differ};
use super::near::did_you_mean;
use super::schema::entry::{NAME, Names, Text, Typed};
use super::schema::scene;

/// The items of one list, which other fields refer to by name.
pub struct Named<'a> {
    /// What one of them is called.
    pub noun: &'static str,
    pub items: Vec<Fields<'a>>,
    /// In the order of the items; none where an item has no name to read.
    pub names: Vec<Option<String>>,
}

impl<'a> Named<'a> {
    pub fn new(noun: &'static str, items: Vec<Fields<'a>>) -> Self {
        let names = names_differ(noun, &items);
        Self { noun, items, names }
    }

    pub fn read<T>(&self, read: impl Fn(&Fields<'a>) -> Option<T>) -> Option<Vec<T>> {
        all(self.items.iter().map(|g| {
            let item = read(g);
            g.end();
            item
        }))
    }

    pub fn index(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|n| n.as_deref() == Some(name))
    }

    pub fn known(&self) -> impl Iterator<Item = &str> {
        self.names.iter().flatten().map(String::as_str)
    }

    /// The index of a name; an unknown one is a problem of the field `key`.
    pub fn find(&self, from: &Fields<'_>, key: &str, name: &str) -> Option<usize> {
        let found = self.index(name);
        if found.is_none() {
            unknown(from, key, self.noun, name, self.known());
        }
        found
    }

    /// The index of the name in a field.
    pub fn take(&self, from: &Fields<'_>, entry: Typed<Text>) -> Option<usize> {
        from.take(entry).and_then(|name| self.find(from, entry.key(), &name))
    }

    /// The indices of the names in a field, without repetition.
    pub fn find_all(&self, from: &Fields<'_>, entry: Typed<Names>) -> Option<Vec<usize>> {
        let key = entry.key();
        let names = from.take(entry)?;
        let found = all(names.iter().map(|name| self.find(from, key, name)))?;
        for (i, index) in found.iter().enumerate() {
            if found[..i].contains(index) {
                from.complain(key, format!("names \"{}\" twice; name it once", names[i]));
                return None;
            }
        }
        Some(found)
    }
}

/// An unknown name is a problem of the field `key`.
pub fn unknown<'n>(
    from: &Fields<'_>,
    key: &str,
    noun: &str,
    name: &str,
    known: impl Iterator<Item = &'n str>,
) {
    let known: Vec<_> = known.collect();
    let mend = if known.is_empty() {
        format!("the scene has no {noun}: add one first")
    } else {
        let near = did_you_mean(name, known.iter().copied());
        format!("{near}choose from {}", known.join(", "))
    };
    from.complain(key, format!("there is no {noun} \"{name}\"; {mend}"));
}

/// The lists of a scene whose items others refer to.
pub struct Lists<'a> {
    pub people: Named<'a>,
    pub limbs: Named<'a>,
    pub stacks: Named<'a>,
    pub void_fill: Named<'a>,
    pub chocks: Named<'a>,
    pub step_chocks: Named<'a>,
    pub struts: Named<'a>,
    pub straps: Named<'a>,
    pub captures: Named<'a>,
    pub bags: Named<'a>,
    pub wedges: Named<'a>,
}

impl<'a> Lists<'a> {
    pub fn read(f: &Fields<'a>) -> Self {
        let lists = Self {
            people: Named::new("person", f.list(scene::PEOPLE)),
            limbs: Named::new("limb", f.list(scene::CASUALTY)),
            stacks: Named::new("stack", f.list(scene::STACKS)),
            void_fill: Named::new("void fill", f.list(scene::VOID_FILL)),
            chocks: Named::new("chock", f.list(scene::CHOCKS)),
            step_chocks: Named::new("step chock", f.list(scene::STEP_CHOCKS)),
            struts: Named::new("strut", f.list(scene::STRUTS)),
            straps: Named::new("strap", f.list(scene::STRAPS)),
            captures: Named::new("capture", f.list(scene::CAPTURES)),
            bags: Named::new("bag", f.list(scene::BAGS)),
            wedges: Named::new("wedge", f.list(scene::WEDGES)),
        };
        lists.supports_differ();
        lists
    }

    /// The names of all parts; "beam" is the beam.
    pub fn part_names(&self) -> impl Iterator<Item = &str> {
        let lists = [
            &self.limbs,
            &self.stacks,
            &self.captures,
            &self.bags,
            &self.wedges,
            &self.void_fill,
            &self.chocks,
            &self.step_chocks,
            &self.struts,
            &self.straps,
            &self.people,
        ];
        lists.into_iter().flat_map(|list| list.known()).chain(["beam"])
    }

    /// What carries a part is looked up among stacks and bags, so that no bag
    /// may have a stack's name.
    fn supports_differ(&self) {
        for (g, name) in self.bags.items.iter().zip(&self.bags.names) {
            if let Some(name) = name
                && self.stacks.index(name).is_some()
            {
                g.complain(
                    NAME.key(),
                    format!("a stack is named \"{name}\" too; give the bag another name"),
                );
            }
        }
    }

    /// Timber that cracks under a name; "beam" is the beam, where there is one.
    pub fn cracked(
        &self,
        from: &Fields<'_>,
        entry: Typed<Text>,
        has_beam: bool,
    ) -> Option<CrackedTimber> {
        let name = &from.take(entry)?;
        let found = match name.as_str() {
            "beam" if has_beam => Some(CrackedTimber::Beam),
            _ => self.stacks.index(name).map(CrackedTimber::Stack),
        };
        if found.is_none() {
            let known = has_beam.then_some("beam").into_iter().chain(self.stacks.known());
            unknown(from, entry.key(), "timber", name, known);
        }
        found
    }

    /// What stands on the ground under a name; "vehicle" is the vehicle itself.
    pub fn standing(&self, from: &Fields<'_>, entry: Typed<Text>) -> Option<SlickTarget> {
        let name = &from.take(entry)?;
        let found = match name.as_str() {
            "vehicle" => Some(SlickTarget::Vehicle),
            _ => (self.stacks.index(name).map(SlickTarget::Stack))
                .or_else(|| self.void_fill.index(name).map(SlickTarget::VoidFill))
                .or_else(|| self.chocks.index(name).map(SlickTarget::Chock))
                .or_else(|| self.step_chocks.index(name).map(SlickTarget::StepChock)),
        };
        if found.is_none() {
            let known = std::iter::once("vehicle")
                .chain(self.stacks.known())
                .chain(self.void_fill.known())
                .chain(self.chocks.known())
                .chain(self.step_chocks.known());
            unknown(from, entry.key(), "base", name, known);
        }
        found
    }

    pub fn support(&self, from: &Fields<'_>, key: &str, name: &str) -> Option<CarriedBy> {
        let found = self
            .stacks
            .index(name)
            .map(CarriedBy::Stack)
            .or_else(|| self.bags.index(name).map(CarriedBy::Bag));
        if found.is_none() {
            let known = self.stacks.known().chain(self.bags.known());
            unknown(from, key, "stack or bag", name, known);
        }
        found
    }
}
