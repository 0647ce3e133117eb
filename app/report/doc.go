// Package report turns an assessment into a document: the rebuild report for
// the customer and the file, and the blank bench card for the bench.
//
// Nothing is computed here. Every number comes from the Assessment with the
// words in which it is shown; the same tree becomes paper and page.
package report
