package api

import (
	"testing"

	"pumpwright/app/store/storetest"
)

// Programs are answered the same over PostgreSQL.
func TestOnPostgres(t *testing.T) {
	storetest.Again(t, "^Test", "^(TestOnPostgres|TestKilled.*)$")
}
