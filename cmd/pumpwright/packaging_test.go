package main

import (
	"os/exec"
	"strings"
	"testing"
)

// The unit is one that systemd takes, where there is systemd.
func TestUnit(t *testing.T) {
	tool, err := exec.LookPath("systemd-analyze")
	if err != nil {
		t.Skip("systemd-analyze is not here: the unit was not checked")
	}
	said, err := exec.Command(tool, "verify", "--man=no", "../../packaging/pumpwright.service").CombinedOutput()
	for line := range strings.Lines(string(said)) {
		if strings.Contains(line, "pumpwright.service") && !strings.Contains(line, "not executable") && !strings.Contains(line, "is not a") {
			t.Errorf("%v: %s", err, line)
		}
	}
}

// The scripts of the package, and the commands of the checkout, are ones that
// their shells read.
func TestScripts(t *testing.T) {
	for _, c := range [][]string{{"sh", "-n", "../../packaging/postinst"}, {"sh", "-n", "../../packaging/prerm"}, {"bash", "-n", "../../release"}, {"bash", "-n", "../../scan"}, {"bash", "-n", "../../check"}} {
		if said, err := exec.Command(c[0], c[1:]...).CombinedOutput(); err != nil {
			t.Errorf("%v: %v %s", c, err, said)
		}
	}
}
