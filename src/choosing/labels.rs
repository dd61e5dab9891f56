//! Labels along a line that keep clear of each other.

/// A label that would like its middle at `at` and is `width` wide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    /// Where its middle would like to be.
    pub at: f64,
    /// How much room it takes, gap included.
    pub width: f64,
}

/// Moves labels as little as possible (in the least-squares sense) so that none overlaps and all
/// lie between `low` and `high`. Wishes must be in ascending order of `at`. Returns the middles;
/// where the labels together are wider than the room, they share it evenly and overlap alike.
///
/// This is isotonic regression by pooling adjacent violators (Barlow, Bartholomew, Bremner and
/// Brunk 1972, from memory): neighbours that collide become one block that sits at the mean of
/// what its members want.
#[must_use]
pub fn spread(wishes: &[Wish], low: f64, high: f64) -> Vec<f64> {
    let total: f64 = wishes.iter().map(|wish| wish.width).sum();
    let room = high - low;
    let squeeze = if total > room && total > 0.0 { room / total } else { 1.0 };

    // Offset of each label's middle from the left edge when all stand shoulder to shoulder.
    let mut offsets = Vec::with_capacity(wishes.len());
    let mut run = 0.0;
    for wish in wishes {
        let width = wish.width * squeeze;
        offsets.push(run + width / 2.0);
        run += width;
    }

    // Without the offsets the labels only have to be in order: pool those that are not.
    let mut blocks: Vec<(f64, usize)> = Vec::with_capacity(wishes.len());
    for (wish, offset) in wishes.iter().zip(&offsets) {
        let mut block = (wish.at - offset, 1_usize);
        while let Some(&(sum, size)) = blocks.last() {
            if sum / size as f64 <= block.0 / block.1 as f64 {
                break;
            }
            blocks.pop();
            block = (block.0 + sum, block.1 + size);
        }
        blocks.push(block);
    }

    let highest = (high - run).max(low);
    let starts = blocks.iter().flat_map(|&(sum, size)| {
        std::iter::repeat_n((sum / size as f64).clamp(low, highest), size)
    });
    starts.zip(&offsets).map(|(start, offset)| start + offset).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_with_room_stay_where_they_want_to_be() {
        let wishes = [Wish { at: 50.0, width: 20.0 }, Wish { at: 100.0, width: 20.0 }];
        assert_eq!(spread(&wishes, 0.0, 200.0), [50.0, 100.0]);
    }

    #[test]
    fn two_that_collide_give_way_alike() {
        let wishes = [Wish { at: 100.0, width: 20.0 }, Wish { at: 104.0, width: 20.0 }];
        assert_eq!(spread(&wishes, 0.0, 200.0), [92.0, 112.0]);
    }

    #[test]
    fn nothing_to_place_is_nothing_placed() {
        assert!(spread(&[], 0.0, 10.0).is_empty());
    }

    proptest! {
        #[test]
        fn no_label_overlaps_or_leaves_the_line(
            mut wishes in prop::collection::vec(
                (0.0..360.0f64, 10.0..40.0f64).prop_map(|(at, width)| Wish { at, width }), 0..9),
        ) {
            wishes.sort_by(|a, b| a.at.total_cmp(&b.at));
            let placed = spread(&wishes, 4.0, 356.0);
            for (place, wish) in placed.iter().zip(&wishes) {
                let total: f64 = wishes.iter().map(|wish| wish.width).sum();
                let half = wish.width * (352.0 / total).min(1.0) / 2.0;
                prop_assert!(place - half >= 4.0 - 1e-9 && place + half <= 356.0 + 1e-9);
            }
            let total: f64 = wishes.iter().map(|wish| wish.width).sum();
            if total <= 352.0 {
                for pair in placed.iter().zip(&wishes).collect::<Vec<_>>().windows(2) {
                    let gap = f64::midpoint(pair[0].1.width, pair[1].1.width);
                    prop_assert!(pair[1].0 - pair[0].0 >= gap - 1e-9);
                }
            }
        }
    }
}
