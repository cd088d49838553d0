#ifdef __cplusplus
extern "C" {
#endif

// qr_new makes a detector, NULL when there is no memory for it.
void *qr_new(void);
void qr_free(void *detector);

// qr_read writes the text of a code in a grey picture, whose rows are stride
// bytes apart, to out, at most size bytes with the closing zero, and returns its
// length: 0 when there is none. The detector is shown the picture grown by grow.
int qr_read(void *detector, const unsigned char *grey, int width, int height, int stride, double grow, char *out, int size);

#ifdef __cplusplus
}
#endif
