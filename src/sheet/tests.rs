//! Tables as people really send them.

use super::*;

const COLUMNS: Columns = Columns { needed: &["tag", "size_mm"], together: &["day", "kept"] };

fn take_apart(text: &str) -> Result<Sheet, Refused> {
    Sheet::take_apart(text.as_bytes(), COLUMNS)
}

fn rows(text: &str) -> Result<Vec<(u64, String, Option<f64>)>, Refused> {
    let sheet = take_apart(text)?;
    let read = sheet.rows(|cells| {
        let tag = cells.needed("tag", |text| Ok::<_, String>(text.to_owned()));
        let size = cells
            .number("size_mm", |mm| if mm > 100.0 { Err("That is too large.") } else { Ok(mm) });
        cells.date("day");
        cells.yes_or_no("kept");
        Some((tag?, size))
    })?;
    Ok(read.into_iter().map(|row| (row.line, row.value.0, row.value.1)).collect())
}

fn says(text: &str) -> Vec<String> {
    rows(text).unwrap_err().faults.iter().map(ToString::to_string).collect()
}

#[test]
fn a_table_is_read_whatever_its_line_ends_mark_and_order_of_columns() {
    let expected = vec![(2, "a, b".to_owned(), Some(7.5)), (3, "c".to_owned(), None)];
    for text in [
        "tag,size_mm\n\"a, b\",7.5\nc,\n",
        "tag,size_mm\r\n\"a, b\",7.5\r\nc,\r\n",
        "\u{feff}tag,size_mm\n\"a, b\",7.5\nc,",
        "size_mm,TAG\n7.5,\"a, b\"\n,c\n",
        " tag , size_mm \n\" a, b \", 7.5 \n c ,  \n",
    ] {
        assert_eq!(rows(text).unwrap(), expected, "{text:?}");
    }
}

#[test]
fn lines_are_counted_as_an_editor_shows_them() {
    let text = "tag,size_mm\n\n\n\"two\nlines\",1\n\r\nx,2\n";
    let lines: Vec<u64> = rows(text).unwrap().iter().map(|row| row.0).collect();
    assert_eq!(lines, [4, 7]);
}

#[test]
fn a_header_that_is_not_ours_is_explained() {
    assert_eq!(
        says("tag,size,tag,\n"),
        [
            "line 1: There is no column “size”; the columns are: tag, size_mm, day, kept.",
            "line 1, tag: This column is there twice: remove one.",
            "line 1: Column 4 has no name: name it or remove it.",
            "line 1, size_mm: This column is missing: add it, even if it stays empty.",
        ]
    );
    assert_eq!(
        says("tag,size_mm,kept\n"),
        ["line 1, day: This column is missing; these go together: day, kept."]
    );
    assert!(says("tag;size_mm\na;1\n")[0].contains("semicolons or tabs"));
    for empty in ["", "\n\n", "\u{feff}"] {
        assert!(says(empty)[0].starts_with("The file is empty: its first line"), "{empty:?}");
    }
}

#[test]
fn every_bad_cell_is_named_with_its_line_and_column() {
    let text = "tag,size_mm,day,kept\n,8 in,2026-02-30,maybe\nx,101,5/6/26,YES\ny,1\nz,1,,,\n";
    assert_eq!(
        says(text),
        [
            "line 2, tag: This cell must not be empty.",
            "line 2, size_mm: Write the number alone, without its unit: is 203.2 what you meant?",
            "line 2, day: “2026-02-30” is not a date: write it as year, month and day, like 2026-06-05.",
            "line 2, kept: “maybe” is not one of these: yes, no.",
            "line 3, size_mm: That is too large.",
            "line 3, day: “5/6/26” is not a date: write it as year, month and day, like 2026-06-05.",
            "line 4: This row has 2 cells and the header has 4: is a comma too many, or a quotation mark missing?",
            "line 5: This row has 5 cells and the header has 4: is a comma too many, or a quotation mark missing?",
        ]
    );
}

#[test]
fn a_guarded_cell_is_read_without_its_guard() {
    let rows = rows("tag,size_mm\n'=a,'-3\n'b,''\n").unwrap_err();
    assert_eq!(rows.faults.len(), 1, "only the lone apostrophes are no number: {rows:?}");
    assert_eq!(rows.faults[0].line, Some(3));
}

#[test]
fn too_much_is_refused_before_it_fills_the_memory() {
    let many = format!("tag,size_mm\n{}", "x,1\n".repeat(MOST_ROWS + 1));
    assert!(says(&many)[0].contains("more than 20000 rows"));
    let just = format!("tag,size_mm\n{}", "x,1\n".repeat(MOST_ROWS));
    assert_eq!(rows(&just).unwrap().len(), MOST_ROWS);
    let long = format!("tag,size_mm\n{},1\n", "x".repeat(MOST_CELL_BYTES + 1));
    assert_eq!(
        says(&long),
        ["line 2, tag: This cell is far too long: is a quotation mark missing?"]
    );
    let open = format!("tag,size_mm\n\"x,1\n{}", "y,1\n".repeat(3000));
    assert!(rows(&open).is_err(), "a quotation mark that is never closed");
    let large = vec![b'x'; MOST_BYTES + 1];
    let refused = Sheet::take_apart(&large, COLUMNS).unwrap_err();
    assert!(refused.faults[0].says.contains("larger than 32 MB"));
}

#[test]
fn hostile_tables_get_a_sentence_and_a_short_one() {
    let nul = "tag,size_mm\nx\0y,1\n\u{1b}[2Jz,2\n";
    let unseen = "This cell holds an invisible control character: type it again.";
    assert_eq!(says(nul), [format!("line 2, tag: {unseen}"), format!("line 3, tag: {unseen}")]);
    for (mark, order) in
        [(*b"\xff\xfe", u16::to_le_bytes as fn(u16) -> [u8; 2]), (*b"\xfe\xff", u16::to_be_bytes)]
    {
        let mut wide = mark.to_vec();
        wide.extend("tag,size_mm\nx,1\n".encode_utf16().flat_map(order));
        let refused = Sheet::take_apart(&wide, COLUMNS).unwrap_err();
        assert_eq!(
            refused.faults[0].to_string(),
            "The file is UTF-16, not UTF-8: save it as UTF-8."
        );
    }
    // Ten thousand columns, with other names, with ours, with none; and ten thousand cells.
    for name in ["x", "tag", ""] {
        let refused = rows(&format!("{}\nx\n", vec![name; 10_000].join(","))).unwrap_err();
        assert_eq!(refused.faults.len(), Faults::KEPT, "{name}");
        let longest = refused.faults.iter().map(|fault| fault.says.len()).max();
        assert!(longest < Some(200), "{name}");
    }
    let wide = format!("tag,size_mm\n{}\n", vec!["x"; 10_000].join(","));
    assert!(says(&wide)[0].starts_with("line 2: This row has 10000 cells"));
    // One line of a megabyte, and one without an end in its name.
    let long = format!("tag,size_mm\n{},1\n", "x".repeat(1_000_000));
    assert_eq!(
        says(&long),
        ["line 2, tag: This cell is far too long: is a quotation mark missing?"]
    );
    let header = format!("{}\n", "x".repeat(1_000_000));
    assert!(says(&header).iter().all(|says| says.len() < 200));
    // What a spreadsheet would run is text here, and goes out guarded.
    for formula in ["=1+1", "+1", "-1", "@x", "=HYPERLINK(\"x\")"] {
        assert_eq!(crate::sheet::with_guard(formula), format!("'{formula}"));
    }
}

#[test]
fn bytes_that_are_not_utf_8_are_named_by_cell() {
    let refused = Sheet::take_apart(b"tag,size_mm\nx,1\n\xc9milie,2\n", COLUMNS)
        .unwrap()
        .rows(|_| Some(()))
        .unwrap_err();
    let expected = "line 3, tag: This cell is not UTF-8: save the file as UTF-8.";
    assert_eq!(refused.faults[0].to_string(), expected);
}

#[test]
fn a_flood_of_faults_is_counted_and_not_told_in_full() {
    let refused = rows(&format!("tag,size_mm\n{}", "x,101\n".repeat(250))).unwrap_err();
    assert_eq!((refused.faults.len(), refused.more), (Faults::KEPT, 150));
    assert!(refused.to_string().starts_with("250 things are wrong, so nothing was stored"));
}

mod whatever_comes {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn any_bytes_are_read_or_explained(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
            if let Ok(sheet) = Sheet::take_apart(&bytes, COLUMNS) {
                let _ = sheet.rows(|cells| Some(cells.line()));
            }
        }

        #[test]
        fn any_cells_are_read_or_explained(text in "(tag|size_mm|day|kept)(,(tag|size_mm|day|kept)){0,4}\n[a-z0-9,\"'=\n -]{0,80}") {
            let _ = rows(&text);
        }

        #[test]
        fn what_is_written_reads_back(texts in proptest::collection::vec("\\PC{0,20}", 1..20)) {
            let texts: Vec<&str> = texts.iter().map(|text| text.trim()).collect();
            let mut out = Vec::new();
            let mut sheet = SheetWriter::new(&mut out, ["tag", "size_mm"]).unwrap();
            for text in &texts {
                sheet.row([Cell::Text(text), Cell::Number(-1.5)]).unwrap();
            }
            sheet.finish().unwrap();
            let read = Sheet::take_apart(&out, COLUMNS).unwrap().rows(|cells| {
                Some((cells.text("tag").to_owned(), cells.text("size_mm").to_owned()))
            });
            let read = read.unwrap();
            prop_assert_eq!(read.len(), texts.len());
            for (row, text) in read.iter().zip(&texts) {
                prop_assert_eq!(&row.value.0, text);
                prop_assert_eq!(&row.value.1, "-1.5");
            }
        }
    }
}
