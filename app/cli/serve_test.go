package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The scenario is served, and its first page names its jobs.
func TestDemoServes(t *testing.T) {
	b := newBench(t)
	out, err, status := b.run("demo")
	if status != 0 || !strings.Contains(out, "Serving the invented scenario") {
		t.Fatalf("status %d: %s", status, err)
	}
	for _, job := range []string{"J-2057", "J-2063"} {
		if !strings.Contains(b.answer, job) {
			t.Errorf("the first page does not name %s", job)
		}
	}
}

// A shop is not opened to other machines by accident.
func TestServeRefuses(t *testing.T) {
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"serve", "--listen", "0.0.0.0:8377"}, "--tls"},
		{[]string{"serve", "--listen", "192.0.2.1:8377"}, "--tls"},
		{[]string{"serve", "--listen", "8377"}, "127.0.0.1:8377"},
		{[]string{"demo", "--listen", "0.0.0.0:8377"}, "127.0.0.1:8377"},
	} {
		b := newBench(t)
		if _, err, status := b.run(c.args...); status != 2 || !strings.Contains(err, c.says) {
			t.Errorf("%v: status %d, %s", c.args, status, err)
		}
	}
}

func TestServeOverTLS(t *testing.T) {
	b := newBench(t)
	out, err, status := b.run("serve", "--listen", "0.0.0.0:8377", "--tls", "--name", "pumps.example")
	if status != 0 || !strings.Contains(out, "https://") || b.answer == "" {
		t.Fatalf("status %d: %s%s", status, out, err)
	}
	if _, err := os.Stat(filepath.Join(b.folder, "pumpwright-data", "tls", "root.pem")); err != nil {
		t.Error(err)
	}
}

// A shop is backed up, restored beside itself, and neither is written over.
func TestBackupAndRestore(t *testing.T) {
	b := newBench(t)
	if _, err, status := b.run("backup", "backups"); status != 4 {
		t.Fatalf("a shop that is not there was backed up: status %d: %s", status, err)
	}
	if _, err, status := b.run("serve"); status != 0 {
		t.Fatalf("serve: status %d: %s", status, err)
	}
	out, err, status := b.run("backup", "backups")
	if status != 0 {
		t.Fatalf("backup: status %d: %s", status, err)
	}
	made, globErr := filepath.Glob(filepath.Join(b.folder, "backups", "*"))
	if globErr != nil || len(made) == 0 || !strings.Contains(out, "checked") {
		t.Fatalf("no backup: %v %s", made, out)
	}
	if _, err, status = b.run("restore", made[0], "--data", "again"); status != 0 {
		t.Fatalf("restore: status %d: %s", status, err)
	}
	if _, _, status = b.run("restore", made[0], "--data", "again"); status == 0 {
		t.Error("a shop was written over")
	}
}
