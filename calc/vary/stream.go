package vary

// stream gives numbers without end that follow from a text. It is the mixer splitmix64 over an FNV-1a hash: both are
// short, in the public domain, and the same on every machine. Nothing here needs to be hard to guess.
type stream struct{ state uint64 }

func newStream(seed string) *stream {
	hash := uint64(14695981039346656037)
	for i := range len(seed) {
		hash = (hash ^ uint64(seed[i])) * 1099511628211
	}
	return &stream{hash}
}

// below returns a whole number from 0 to n−1; 0 when n is below 1.
func (s *stream) below(n int) int {
	if n < 1 {
		return 0
	}
	s.state += 0x9e3779b97f4a7c15
	z := s.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return int((z ^ z>>31) % uint64(n))
}
