//! Layout files.

use super::*;

#[test]
fn files_report_every_fault_with_its_line() {
    let gear = nine_foot();
    let text = "# a bad evening\nball,x,y\n1,2,2\n1,3,3\n2,2.05,2\n3,9,1\n4,frozen-left,2\n,1,1\n5,1\n6,5,0.02\n7,4.4,1.1,5\n";
    let error = Layout::parse(text, &gear).unwrap_err();
    let lines: Vec<u64> = error.problems.iter().map(|p| p.line).collect();
    assert_eq!(lines, [4, 5, 6, 7, 8, 9, 10, 11]);
    assert!(
        error
            .to_string()
            .contains("line 4: the ball 1 is already on line 3")
    );
    let no_cue = Layout::parse("ball,x,y\n1,2,2\n", &gear).unwrap_err();
    assert_eq!(no_cue.problems[0].fault, LayoutFault::NoCue);
    assert!(matches!(
        Layout::parse("", &gear).unwrap_err().problems[0].fault,
        LayoutFault::Header { .. }
    ));
    let swapped = Layout::parse("x,y,ball\n", &gear).unwrap_err();
    assert!(swapped.to_string().contains("ball,x,y"));
    let fine = Layout::parse(
        "\u{feff}ball,x,y\r\ncue,head-spot\r\n8,foot-spot\r\n9,50in,25in\r\n",
        &gear,
    )
    .unwrap();
    assert_eq!(fine.balls.len(), 2);
    assert!((fine.balls[0].at.x - 0.75 * gear.bed.length_m).abs() < 1e-12);
}
