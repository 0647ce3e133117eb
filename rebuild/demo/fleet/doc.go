// Package fleet makes an invented fleet: pumps of the demo family, put to work
// years ago, worn by laws that are known because they were chosen, rebuilt
// again and again. No such plants, people or machines exist.
//
// What comes out is what a shop would have written down, as streams of
// entries; what went in is kept beside it. So an estimate can be held against
// the truth that made its data, and the bounds it states can be counted.
//
// The same options give the same fleet, whatever the machine it is made on.
package fleet
