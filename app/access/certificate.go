//go:build !js

package access

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// Certificates are those of a shop's own network: a root that tablets are told
// to trust, made once and kept, and a certificate of the server signed by it,
// made anew when it nears its end or the names change.
type Certificates struct {
	Server tls.Certificate
	Root   []byte // PEM, for the page that helps to install it on a tablet
}

const (
	rootYears     = 10
	serverDays    = 397 // browsers refuse longer ones
	renewDays     = 30
	rootFile      = "root.pem"
	rootKeyFile   = "root-key.pem"
	serverFile    = "server.pem"
	serverKeyFile = "server-key.pem"
)

// LocalCertificates reads or makes the certificates in a folder for the names
// and addresses under which the server is reached.
func LocalCertificates(folder string, hosts []string, now time.Time, random io.Reader) (*Certificates, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("access: certificates: %w", err)
	}
	root, rootKey, err := readPair(folder, rootFile, rootKeyFile)
	if err != nil || now.After(root.NotAfter) {
		if root, rootKey, err = makeRoot(folder, now, random); err != nil {
			return nil, fmt.Errorf("access: certificates: %w", err)
		}
	}
	server, _, err := readPair(folder, serverFile, serverKeyFile)
	if err != nil || now.AddDate(0, 0, renewDays).After(server.NotAfter) || server.CheckSignatureFrom(root) != nil || !slices.Equal(namesOf(server), hosts) {
		if err := makeServer(folder, root, rootKey, hosts, now, random); err != nil {
			return nil, fmt.Errorf("access: certificates: %w", err)
		}
	}
	pair, err := tls.LoadX509KeyPair(filepath.Join(folder, serverFile), filepath.Join(folder, serverKeyFile))
	if err != nil {
		return nil, fmt.Errorf("access: certificates: %w", err)
	}
	text, err := os.ReadFile(filepath.Join(folder, rootFile))
	if err != nil {
		return nil, fmt.Errorf("access: certificates: %w", err)
	}
	return &Certificates{Server: pair, Root: text}, nil
}

func namesOf(c *x509.Certificate) []string {
	names := slices.Clone(c.DNSNames)
	for _, ip := range c.IPAddresses {
		names = append(names, ip.String())
	}
	return names
}

func makeRoot(folder string, now time.Time, random io.Reader) (*x509.Certificate, *ecdsa.PrivateKey, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), random)
	if err != nil {
		return nil, nil, err
	}
	serial, err := serialNumber(random)
	if err != nil {
		return nil, nil, err
	}
	template := &x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: "Pumpwright, this shop's own network"},
		NotBefore: now.Add(-time.Hour), NotAfter: now.AddDate(rootYears, 0, 0),
		KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageCRLSign, BasicConstraintsValid: true, IsCA: true, MaxPathLenZero: true,
	}
	raw, err := x509.CreateCertificate(random, template, template, &key.PublicKey, key)
	if err != nil {
		return nil, nil, err
	}
	if err := writePair(folder, rootFile, rootKeyFile, raw, key); err != nil {
		return nil, nil, err
	}
	root, err := x509.ParseCertificate(raw)
	return root, key, err
}

func makeServer(folder string, root *x509.Certificate, rootKey *ecdsa.PrivateKey, hosts []string, now time.Time, random io.Reader) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), random)
	if err != nil {
		return err
	}
	serial, err := serialNumber(random)
	if err != nil {
		return err
	}
	template := &x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: "Pumpwright"},
		NotBefore: now.Add(-time.Hour), NotAfter: now.AddDate(0, 0, serverDays),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	for _, host := range hosts {
		if ip := net.ParseIP(host); ip != nil {
			template.IPAddresses = append(template.IPAddresses, ip)
			continue
		}
		template.DNSNames = append(template.DNSNames, host)
	}
	raw, err := x509.CreateCertificate(random, template, root, &key.PublicKey, rootKey)
	if err != nil {
		return err
	}
	return writePair(folder, serverFile, serverKeyFile, raw, key)
}

func serialNumber(random io.Reader) (*big.Int, error) {
	var bytes [16]byte
	if _, err := io.ReadFull(random, bytes[:]); err != nil {
		return nil, err
	}
	bytes[0] &= 0x7f
	return new(big.Int).SetBytes(bytes[:]), nil
}

func writePair(folder, certificate, keyFile string, raw []byte, key *ecdsa.PrivateKey) error {
	der, err := x509.MarshalECPrivateKey(key)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, keyFile), pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Bytes: der}), 0o600); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, certificate), pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: raw}), 0o644)
}

var errNoPair = errors.New("the file holds no certificate and key")

func readPair(folder, certificate, keyFile string) (*x509.Certificate, *ecdsa.PrivateKey, error) {
	text, err := os.ReadFile(filepath.Join(folder, certificate))
	if err != nil {
		return nil, nil, err
	}
	keyText, err := os.ReadFile(filepath.Join(folder, keyFile))
	if err != nil {
		return nil, nil, err
	}
	block, _ := pem.Decode(text)
	keyBlock, _ := pem.Decode(keyText)
	if block == nil || keyBlock == nil {
		return nil, nil, &fs.PathError{Op: "read", Path: certificate, Err: errNoPair}
	}
	c, err := x509.ParseCertificate(block.Bytes)
	if err != nil {
		return nil, nil, err
	}
	key, err := x509.ParseECPrivateKey(keyBlock.Bytes)
	return c, key, err
}
