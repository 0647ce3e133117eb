// Package sheet reads model sheets: one pump model as the shop knows it,
// transcribed once from the manual that the shop holds, and the service a
// pump of it does.
//
// A sheet is YAML. Every number is a text with its unit and may carry the page
// of the manual it came from:
//
//	nominal: 29.975 mm
//	nominal: {value: 29.975 mm, page: p. 12}
//
// Features are what can be measured. Their role says what a feature is to the
// engineering (see Roles): the clearance chain asks for the casing depth by its
// role, whatever the sheet calls it. A sheet that lacks a number is still a
// sheet: what needs the number says so, with the role and its use.
//
// Reading keeps going after a mistake: Parse returns every problem with its
// line, and every field that this version does not know, which is kept.
package sheet
