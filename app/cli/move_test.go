package cli

import (
	"strings"
	"testing"

	"pumpwright/app/store/storetest"
)

// A shop goes into a file and into PostgreSQL, and comes back from both.
func TestShopMoves(t *testing.T) {
	b := newBench(t)
	steps := func(lines ...string) {
		t.Helper()
		for _, line := range lines {
			if out, err, status := b.run(strings.Fields(line)...); status != 0 {
				t.Fatalf("%s: status %d: %s%s", line, status, out, err)
			}
		}
	}
	if _, _, status := b.run("archive", "--data", "shop", "shop.zip"); status != 4 {
		t.Errorf("a shop that is not there was archived: status %d", status)
	}
	steps("serve --data shop", "archive --data shop shop.zip", "unpack shop.zip --data shop-again", "move --data shop --to-data shop-3")
	if _, _, status := b.run("archive", "--data", "shop", "shop.zip"); status != 4 {
		t.Errorf("an archive was written over: status %d", status)
	}
	database := storetest.NewDatabase(t, storetest.Postgres(t))
	steps("move --data shop-again --to-data photos --to-database "+database,
		"serve --data photos --database "+database,
		"move --data photos --database "+database+" --to-data shop-4",
		"serve --data shop-4")
	b.env[databaseVariable] = database
	steps("archive --data photos there.zip")
	delete(b.env, databaseVariable)
	if _, err, status := b.run("serve", "--database", "postgres://nobody@127.0.0.1:1/none"); status != 2 || !strings.Contains(err, "postgres://user@host/name") {
		t.Errorf("a server that is not there: status %d, %s", status, err)
	}
}
