//! What became of one limb, in words.

use crate::snapshot::LimbRecord;
use crate::units::UnitSystem;

/// Nothing where nothing happened to it that is worth a word: it bore no more than before the
/// lift, was not struck again, and the load over it did not come down.
pub(super) fn say_limb(
    limb: &LimbRecord,
    bore_more: bool,
    fell: bool,
    units: UnitSystem,
) -> Option<String> {
    let (at, before) = (&limb.at, units.load(limb.start_load_n));
    let mut said: Vec<String> = Vec::new();
    match limb.struck {
        Some(struck) => said.push(format!(
            "the {at} was struck again at {:.1} s and bore up to {}, at {:.1} s; before the lift \
             it bore {before}",
            struck.t_s,
            units.load(struck.most_n),
            struck.most_s
        )),
        None if bore_more => said.push(format!(
            "the {at} bore up to {}; before the lift it bore {before}",
            units.load(limb.max_load_n)
        )),
        None => {}
    }
    if let Some((gap_m, t_s)) = limb.least_gap.filter(|_| fell) {
        said.push(format!("the least gap at the {at} was {}, at {t_s:.1} s", units.gap(gap_m)));
    }
    if limb.is_dragged() {
        said.push(format!(
            "the vehicle slid {} over the {at} while it bore on it (in this model a limb stays in \
             its place; a real one is dragged along)",
            units.gap(limb.dragged_m)
        ));
    }
    if let Some(left_s) = limb.left_s {
        said.push(format!("from {left_s:.1} s on no vehicle is over the {at}"));
    }
    let capital = |text: &String| {
        let (first, rest) = text.split_at(text.chars().next().map_or(0, char::len_utf8));
        format!("{}{rest}.", first.to_uppercase())
    };
    (!said.is_empty()).then(|| said.iter().map(capital).collect::<Vec<_>>().join(" "))
}
