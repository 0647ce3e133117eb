package store_test

import (
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"testing"

	"pumpwright/app/store"
	"pumpwright/app/store/storetest"
)

// serverVariable names a PostgreSQL server for the suite, as an address that
// may make databases: postgres://user@host/postgres.
const serverVariable = "PUMPWRIGHT_TEST_POSTGRES"

func TestPostgres(t *testing.T) {
	server := os.Getenv(serverVariable)
	if server == "" {
		t.Skipf("%s names no PostgreSQL server: the suite was run for SQLite only", serverVariable)
	}
	admin, err := sql.Open("pgx", server)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = admin.Close() })
	n := 0
	storetest.Run(t, func(t *testing.T) store.Store {
		n++
		name := fmt.Sprintf("pumpwright_suite_%d_%d", os.Getpid(), n)
		if _, err := admin.Exec("CREATE DATABASE " + name); err != nil {
			t.Fatal(err)
		}
		address, err := url.Parse(server)
		if err != nil {
			t.Fatal(err)
		}
		address.Path = "/" + name
		db, err := store.OpenPostgres(t.Context(), address.String(), t.TempDir())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			if err := db.Close(); err != nil {
				t.Error(err)
			}
			if _, err := admin.Exec("DROP DATABASE " + name); err != nil {
				t.Error(err)
			}
		})
		return db
	})
}
