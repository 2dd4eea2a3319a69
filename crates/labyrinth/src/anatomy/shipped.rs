//! The anatomies that are compiled in.

/// Name and text of every file of `assets/anatomies`, the default first.
pub(crate) const FILES: [(&str, &str); 9] = [
    (
        "mean-adult",
        include_str!("../../../../assets/anatomies/mean-adult.ron"),
    ),
    (
        "typical-adult",
        include_str!("../../../../assets/anatomies/typical-adult.ron"),
    ),
    (
        "blanks-1975",
        include_str!("../../../../assets/anatomies/blanks-1975.ron"),
    ),
    (
        "wu-2021",
        include_str!("../../../../assets/anatomies/wu-2021.ron"),
    ),
    (
        "outer-wall",
        include_str!("../../../../assets/anatomies/outer-wall.ron"),
    ),
    (
        "narrow-ducts",
        include_str!("../../../../assets/anatomies/narrow-ducts.ron"),
    ),
    (
        "wide-ducts",
        include_str!("../../../../assets/anatomies/wide-ducts.ron"),
    ),
    (
        "narrow-far-arm",
        include_str!("../../../../assets/anatomies/narrow-far-arm.ron"),
    ),
    (
        "short-crus",
        include_str!("../../../../assets/anatomies/short-crus.ron"),
    ),
];
