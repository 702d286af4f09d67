//go:build unix && !linux

package postgres

import "syscall"

// stopWithParent does nothing: the system has no signal for it. See clearStale.
func stopWithParent(*syscall.SysProcAttr) {}
