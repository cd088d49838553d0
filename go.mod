module strokereel

go 1.26.0

require (
	github.com/fogleman/gg v1.3.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3
	github.com/spf13/cobra v1.10.2
	github.com/u2takey/ffmpeg-go v0.5.0
	gocv.io/x/gocv v0.31.0
	golang.org/x/image v0.47.0
	golang.org/x/sync v0.25.0
	gonum.org/v1/gonum v0.17.0
	gopkg.in/yaml.v3 v3.0.1
)

require (
	github.com/aws/aws-sdk-go v1.38.20 // indirect
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0 // indirect
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/jmespath/go-jmespath v0.4.0 // indirect
	github.com/spf13/pflag v1.0.9 // indirect
	github.com/u2takey/go-utils v0.3.1 // indirect
	golang.org/x/sys v0.49.0 // indirect
	golang.org/x/text v0.43.0 // indirect
)
