package shop

import (
	"testing"

	"pumpwright/app/store/storetest"
)

// Every operation of a shop does the same over PostgreSQL.
func TestOnPostgres(t *testing.T) {
	storetest.Again(t, "^Test", "^(TestOnPostgres|TestBackups|TestNightly)$") // a database there is backed up with its own tools
}
