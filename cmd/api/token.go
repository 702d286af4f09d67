package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"kitspan/internal/account"
)

const tokenFile = "staff-token"

// token returns the staff token: the one that was set, or the one that the first start made and kept. told is the line to print about it,
// empty for one that was set.
func (c *serveCommand) token() (token, told string, err error) {
	if c.StaffToken != "" {
		return c.StaffToken, "", nil
	}
	dir, err := c.dataDir()
	if err != nil {
		return "", "", err
	}
	path := filepath.Join(dir, tokenFile)
	kept, err := os.ReadFile(path)
	if err == nil {
		token := strings.TrimSpace(string(kept))
		if len(token) < account.MinTokenLength {
			return "", "", fmt.Errorf("the staff token in %s has %d characters, of at least %d: write one into it, remove the file to have one made, or set KITSPAN_STAFF_TOKEN",
				path, len(token), account.MinTokenLength)
		}
		return token, "The staff token that writing needs is in " + path, nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return "", "", fmt.Errorf("read the staff token: %w", err)
	}
	token = rand.Text()
	if err := keepToken(path, token); err != nil {
		return "", "", fmt.Errorf("keep the staff token: %w (or set KITSPAN_STAFF_TOKEN)", err)
	}
	return token, fmt.Sprintf("Made a staff token, which writing needs: %s (kept in %s)", token, path), nil
}

// keepToken writes the file for its owner alone, whole or not at all.
func keepToken(path, token string) (err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	defer func() {
		if err = errors.Join(err, f.Close()); err != nil {
			_ = os.Remove(path) // half a token is none; the error is returned
		}
	}()
	_, err = f.WriteString(token + "\n")
	return err
}

// dataDir is where the program keeps its own: $XDG_DATA_HOME/kitspan (XDG Base Directory Specification), and for root a
// folder that the private PostgreSQL, which does not run as root, can enter.
func (c *serveCommand) dataDir() (string, error) {
	if c.DataDir != "" {
		return filepath.Abs(c.DataDir)
	}
	// The specification has relative paths ignored.
	if data := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(data) {
		return filepath.Join(data, "kitspan"), nil
	}
	if os.Geteuid() == 0 {
		return "/var/lib/kitspan", nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("find the user's data folder: %w (name one with --data-dir)", err)
	}
	return filepath.Join(home, ".local", "share", "kitspan"), nil
}
