// Package forms makes what a page asks for out of the table of kinds, and fields of
// entries out of what was posted. It knows no request and no page.
//
// # Names
//
// An input is named by where its value goes: "observations.spo2Percent", and below an
// object "observations.silverman.chest". Rows of a list are numbered,
// "calibration.points.0.gasPercent"; where each row has a name of its own, as a step or a
// site has, the names are posted under the list's own: the n-th of "setup.steps" is that
// of the row "setup.steps.n". A moment has several inputs, ".day", ".time", ".now", and
// ".which", a moment in full that holds as long as day and time say the same.
//
// # What holds
//
//   - What is left empty is left out: nothing posted makes no field.
//   - What was posted can be shown again, whatever was wrong with it.
//   - Nothing is judged here but what only a form can get wrong, a time that a clock
//     change makes double, or one without its day; all else by the record's own rules.
//   - Values of a charted entry shown in a form and posted unchanged give its fields.
package forms
