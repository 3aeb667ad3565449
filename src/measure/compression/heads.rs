//! Whether the low cylinders stand next to each other in one head: then the gasket between them is the first suspect.

use super::{Psi, cylinder_list, low_cylinders};
use crate::measure::{Absent, Measured, Worked};

/// The two low cylinders that stand next to each other in one head as listed; none of them when exactly two are not
/// low, or the two lie apart.
///
/// # Errors
/// Too little was read, or it is not known which cylinders share a head.
pub fn low_together(values: &[Option<Psi>], heads: Option<&[Vec<usize>]>) -> Measured<Option<[usize; 2]>> {
    super::compared(values)?;
    let low = low_cylinders(values);
    let [one, two] = low[..] else { return not_two(values, &low) };
    let heads = heads.ok_or(Absent::HeadsUnknown)?;
    let pair = [one, two];
    let homeless: Vec<usize> = pair.into_iter().filter(|it| !heads.iter().any(|head| head.contains(it))).collect();
    if homeless.len() == 2 {
        return Err(Absent::HeadOf(homeless));
    }
    let beside = |head: &Vec<usize>| head.windows(2).any(|next| next.contains(&one) && next.contains(&two));
    if !heads.iter().any(beside) {
        let shared = heads.iter().any(|head| head.contains(&one) && head.contains(&two));
        let how = if shared { "in one head, but not next to each other" } else { "under different heads" };
        return Ok(Worked::new(None, move || format!("{} are low, {how}", cylinder_list(&pair))));
    }
    // A third low one would make it another story.
    if let Some(place) = values.iter().position(Option::is_none) {
        return Err(Absent::Unread(vec![place + 1]));
    }
    let how = move || format!("{} are low and stand next to each other in one head", cylinder_list(&pair));
    Ok(Worked::new(Some(pair), how))
}

fn not_two(values: &[Option<Psi>], low: &[usize]) -> Measured<Option<[usize; 2]>> {
    let unread = values.iter().position(Option::is_none).filter(|_| low.len() < 2);
    if let Some(place) = unread {
        return Err(Absent::Unread(vec![place + 1]));
    }
    let low = low.to_vec();
    let how = move || match low.as_slice() {
        [] => "no cylinder is low".to_owned(),
        [only] => format!("only cylinder {only} is low"),
        more => format!("{} are low, more than two", cylinder_list(more)),
    };
    Ok(Worked::new(None, how))
}
