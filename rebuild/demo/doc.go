// Package demo holds an invented scenario: a shop, three plants, three jobs on
// pumps of the invented family. No such people, firms or machines exist.
//
// Jobs are written as short YAML and expanded to entries with fixed ids and
// times, so that the same scenario comes out every time.
package demo
