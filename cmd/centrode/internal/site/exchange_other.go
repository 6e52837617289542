//go:build !linux

package site

import "errors"

// exchange is not offered by this system; the caller renames twice.
func exchange(a, b string) error { return errors.ErrUnsupported }
