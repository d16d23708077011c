/** Tests of certificates: forged ones too, made by hand. */
@NullMarked
package stoplog.checker.certificate;

import org.jspecify.annotations.NullMarked;
