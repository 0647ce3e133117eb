package access

import (
	"bytes"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A browser that trusts the root reads a page; the root stays when the server's
// certificate is made anew.
func TestLocalCertificates(t *testing.T) {
	folder := t.TempDir()
	now := time.Now()
	hosts := []string{"localhost", "127.0.0.1"}
	first, err := LocalCertificates(folder, hosts, now, rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) }))
	server.TLS = &tls.Config{Certificates: []tls.Certificate{first.Server}}
	server.StartTLS()
	defer server.Close()
	pool := x509.NewCertPool()
	if !pool.AppendCertsFromPEM(first.Root) {
		t.Fatal("the root is no certificate")
	}
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}}
	answer, err := client.Get(server.URL)
	if err != nil || answer.StatusCode != http.StatusNoContent {
		t.Fatalf("%v %v", answer, err)
	}
	answer.Body.Close()
	same, err := LocalCertificates(folder, hosts, now, rand.Reader)
	if err != nil || !bytes.Equal(same.Server.Certificate[0], first.Server.Certificate[0]) {
		t.Errorf("the certificate changed without need: %v", err)
	}
	for name, again := range map[string]func() (*Certificates, error){
		"near its end": func() (*Certificates, error) {
			return LocalCertificates(folder, hosts, now.AddDate(0, 0, serverDays-10), rand.Reader)
		},
		"another name": func() (*Certificates, error) {
			return LocalCertificates(folder, append(hosts, "10.0.0.7"), now, rand.Reader)
		},
	} {
		c, err := again()
		if err != nil || bytes.Equal(c.Server.Certificate[0], first.Server.Certificate[0]) || !bytes.Equal(c.Root, first.Root) {
			t.Errorf("%s: %v", name, err)
		}
	}
	info, err := os.Stat(filepath.Join(folder, rootKeyFile))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key can be read by others: %v %v", info.Mode(), err)
	}
}
