package storetest

import (
	"context"
	"os"
	"os/exec"
	"testing"

	"pumpwright/app/store"
)

// againVariable names the server on which tests run again.
const againVariable = "PUMPWRIGHT_TEST_AGAIN"

// Again runs tests of the package once more, with every store that Database
// and Open give in PostgreSQL. The arguments are those of go test.
func Again(t *testing.T, run, skip string) {
	t.Helper()
	if testing.Short() {
		t.Skip("runs the tests of the package again")
	}
	if os.Getenv(againVariable) != "" {
		t.Skip("this is that run")
	}
	again := exec.Command(os.Args[0], "-test.run="+run, "-test.skip="+skip, "-test.count=1", "-test.timeout=5m")
	again.Env = append(os.Environ(), againVariable+"="+Postgres(t))
	if out, err := again.CombinedOutput(); err != nil {
		t.Errorf("on PostgreSQL: %v\n%s", err, out)
	}
}

// Database gives the address of a new database when tests run again on
// PostgreSQL, and "" at other times.
func Database(t testing.TB) string {
	t.Helper()
	server := os.Getenv(againVariable)
	if server == "" {
		return ""
	}
	return NewDatabase(t, server)
}

// Open opens a new and empty store: in memory, or in PostgreSQL when tests run
// again there. Whoever asked closes it.
func Open(t testing.TB) *store.DB {
	t.Helper()
	open := func() (*store.DB, error) { return store.OpenMemory(context.Background()) }
	if address := Database(t); address != "" {
		open = func() (*store.DB, error) {
			return store.Open(context.Background(), store.Place{Database: address})
		}
	}
	db, err := open()
	if err != nil {
		t.Fatal(err)
	}
	return db
}
