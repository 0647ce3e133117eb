package shop

import (
	"os"
	"path/filepath"

	"pumpwright/app/store"
)

// There reports whether a shop is kept there already, as far as a look at the
// folder tells; Open would make one. A database is asked only when it is opened.
func (h Home) There() bool {
	if h.Database != "" {
		return true
	}
	info, err := os.Stat(filepath.Join(h.Folder, store.FileName))
	return err == nil && !info.IsDir()
}

// ForTables returns the same holdings for rows that people typed: what a table
// may not change is refused, and streams get names that an address takes.
func (h *Holdings) ForTables() *Holdings {
	tabled := *h
	tabled.tables = true
	return &tabled
}
