// Package liquid says what a liquid is at a temperature: density, viscosity,
// vapour pressure, how it thins when sheared, whether it lubricates.
//
// Petroleum liquids follow the straight line of ASTM D341 through two or more
// points; beyond the points the line is extended and that is said. All other
// liquids (glycols, syrups, silicones, solvents) do not follow that line: for
// them ln ν is interpolated between the points and nothing is given outside.
// Water comes from the IAPWS formulations.
//
// A Liquid is read from YAML (Parse), or is one of those that ship with the
// package (Named): the invented demo liquids, and a short list of generic ones
// marked typical, each with its published source. Typical values are for a
// first look; the liquid's own data sheet outranks them.
//
// Sources: ASTM D341 (viscosity over temperature), ASTM D2270 (viscosity
// index), ISO 3448 (viscosity grades), ASTM D7152 (blends), IAPWS-IF97 regions
// 1 and 4 and IAPWS R12-08 (water).
package liquid
