package storetest

import (
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
)

// ServerVariable names a PostgreSQL server for the tests, as an address that
// may make databases: postgres://user@host/postgres. Without it the tests
// start a server of their own for as long as they run.
const ServerVariable = "PUMPWRIGHT_TEST_POSTGRES"

// Postgres gives the address of a PostgreSQL server. The test is skipped when
// none is named and none can be started.
func Postgres(t testing.TB) string {
	t.Helper()
	if server := os.Getenv(ServerVariable); server != "" {
		return server
	}
	bin := serverPrograms()
	if bin == "" {
		t.Skipf("PostgreSQL was not tested: its programs (initdb, pg_ctl) are not installed, and %s names no server", ServerVariable)
	}
	return startServer(t, bin).Address
}

// Server is a PostgreSQL server of a test's own, which it may stop and start.
type Server struct {
	Address string
	Stop    func() // at once, as if the power went
	Start   func()
}

// OwnServer starts a server that no other test uses. The test is skipped when
// none can be started.
func OwnServer(t testing.TB) *Server {
	t.Helper()
	bin := serverPrograms()
	if bin == "" {
		t.Skip("PostgreSQL was not stopped under load: its programs (initdb, pg_ctl) are not installed")
	}
	return startServer(t, bin)
}

// serverPrograms finds the folder of initdb: Debian keeps it out of the path.
func serverPrograms() string {
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/initdb") // the pattern is sound
	if len(found) > 0 {
		return filepath.Dir(found[len(found)-1])
	}
	if path, err := exec.LookPath("initdb"); err == nil {
		return filepath.Dir(path)
	}
	return ""
}

// startServer starts a server in a folder of its own, reached by a socket
// there: no port is opened. It never runs as root, so root asks the user
// postgres to.
func startServer(t testing.TB, bin string) *Server {
	t.Helper()
	folder, err := os.MkdirTemp("", "pg") // a socket's path must be short
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(folder) })
	var as []string
	if os.Getuid() == 0 {
		as = []string{"runuser", "-u", "postgres", "--"}
		if _, err := exec.LookPath(as[0]); err != nil {
			t.Skip("PostgreSQL was not tested: it does not run as root, and runuser is not there")
		}
		if out, err := exec.Command("chown", "postgres", folder).CombinedOutput(); err != nil {
			t.Skipf("PostgreSQL was not tested: there is no user postgres: %s", out)
		}
	}
	data := filepath.Join(folder, "data")
	run := func(program string, args ...string) {
		t.Helper()
		line := append(append([]string{}, as...), append([]string{filepath.Join(bin, program)}, args...)...)
		command := exec.Command(line[0], line[1:]...)
		command.Dir = folder
		if out, err := command.CombinedOutput(); err != nil {
			log, _ := os.ReadFile(filepath.Join(folder, "log")) // there may be none yet
			t.Fatalf("%s: %v\n%s%s", strings.Join(line, " "), err, out, log)
		}
	}
	run("initdb", "-D", data, "-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
	s, runs := &Server{Address: "postgres://postgres@/postgres?host=" + url.QueryEscape(folder)}, false
	s.Start = func() {
		run("pg_ctl", "-D", data, "-w", "-l", filepath.Join(folder, "log"),
			"-o", "-c listen_addresses= -c unix_socket_directories="+folder+" -c fsync=off -c max_connections=200", "start")
		runs = true
	}
	s.Stop = func() {
		if runs {
			run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
		}
		runs = false
	}
	s.Start()
	t.Cleanup(s.Stop)
	return s
}

var databases atomic.Int64

// NewDatabase makes an empty database on a server and returns its address; it
// is dropped when the test ends.
func NewDatabase(t testing.TB, server string) string {
	t.Helper()
	name := fmt.Sprintf("pumpwright_test_%d_%d", os.Getpid(), databases.Add(1))
	admin := func(statement string) {
		t.Helper()
		db, err := sql.Open("pgx", server)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		if _, err := db.Exec(statement + " DATABASE " + name); err != nil {
			t.Fatal(err)
		}
	}
	admin("CREATE")
	t.Cleanup(func() { admin("DROP") })
	address, err := url.Parse(server)
	if err != nil {
		t.Fatal(err)
	}
	address.Path = "/" + name
	return address.String()
}
