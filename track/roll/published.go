package roll

// Published is what is known of skilled players, to stand beside a budget.
type Published struct {
	What   string
	Text   string
	Source string
}

// PublishedSpread is what was found of skilled players' strokes. It is shown as
// it is: a mean of others is no aim, and outside two standard deviations is no
// fault.
func PublishedSpread() []Published {
	const marquardt = "Marquardt 2007, Annual Review of Golf Coaching, 101-114, table 2, as quoted"
	return []Published{
		{"backstroke time", "0.67 s, SD 0.09 (99 tour players, putts of 13 ft)", marquardt},
		{"downstroke time", "0.317 s, SD 0.035 (the same); 0.305, 0.312 and 0.297 s at 2, 8 and 25 m", marquardt + "; Karlsen 2003, as quoted"},
		{"tempo", "2.1, SD 0.29 between players, 0.11 within one", marquardt},
		{"backstroke length", "24.1 cm, SD 3.8 (putts of 13 ft only)", marquardt},
		{"head speed at impact", "1.51 m/s, SD 0.12 (putts of 13 ft only)", marquardt},
		{"through and back", "experts go farther through than back, novices as far", "Sim and Kim 2010, Human Movement Science 29, 932-946"},
		{"roll of equal putts", "SD 6.8 % over 6 m, of which the green makes 2.5 %", "Karlsen and Nilsson 2008, doi 10.1260/174795408785024333"},
	}
}
