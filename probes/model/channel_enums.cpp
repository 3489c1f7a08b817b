#include "probes/model/channel_enums.h"

#include <array>

namespace frisket::model {
namespace {

constexpr std::array kChannelType = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "serial-port"},
    EnumName{4, "parallel-port"},
    EnumName{5, "ieee1284-port"},
    EnumName{6, "scsi-port"},
    EnumName{7, "apple-talk-pap"},
    EnumName{8, "lpd-server"},
    EnumName{9, "netware-r-printer"},
    EnumName{10, "netware-p-server"},
    EnumName{11, "port9100"},
    EnumName{12, "app-socket"},
    EnumName{13, "ftp"},
    EnumName{14, "tftp"},
    EnumName{15, "dlcllc-port"},
    EnumName{16, "ibm3270"},
    EnumName{17, "ibm5250"},
    EnumName{18, "fax"},
    EnumName{19, "ieee1394"},
    EnumName{20, "transport1"},
    EnumName{21, "cpap"},
    EnumName{22, "dce-remote-proc-call"},
    EnumName{23, "onc-remote-proc-call"},
    EnumName{24, "ole"},
    EnumName{25, "named-pipe"},
    EnumName{26, "pc-print"},
    EnumName{27, "server-message-block"},
    EnumName{28, "dpmf"},
    EnumName{29, "dllapi"},
    EnumName{30, "vx-dapi"},
    EnumName{31, "system-object-manager"},
    EnumName{32, "declat"},
    EnumName{33, "npap"},
    EnumName{34, "usb"},
    EnumName{35, "irda"},
    EnumName{36, "print-x-change"},
    EnumName{37, "port-tcp"},
    EnumName{38, "bidir-port-tcp"},
    EnumName{39, "unpp"},
    EnumName{40, "apple-talk-adsp"},
    EnumName{41, "port-spx"},
    EnumName{42, "port-http"},
    EnumName{43, "ndps"},
    EnumName{44, "ipp"},
    EnumName{45, "smtp"},
    EnumName{46, "ws-print"},
};

constexpr std::array kChannelState = {
    EnumName{1, "other"},
    EnumName{3, "print-data-accepted"},
    EnumName{4, "no-data-accepted"},
};

constexpr std::array kLangFamily = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "pcl"},
    EnumName{4, "hpgl"},
    EnumName{5, "pjl"},
    EnumName{6, "ps"},
    EnumName{7, "ipds"},
    EnumName{8, "ppds"},
    EnumName{9, "escape-p"},
    EnumName{10, "epson"},
    EnumName{11, "ddif"},
    EnumName{12, "interpress"},
    EnumName{13, "iso6429"},
    EnumName{14, "line-data"},
    EnumName{15, "modca"},
    EnumName{16, "regis"},
    EnumName{17, "scs"},
    EnumName{18, "spdl"},
    EnumName{19, "tek4014"},
    EnumName{20, "pds"},
    EnumName{21, "igp"},
    EnumName{22, "code-v"},
    EnumName{23, "dscdse"},
    EnumName{24, "wps"},
    EnumName{25, "ln03"},
    EnumName{26, "ccitt"},
    EnumName{27, "quic"},
    EnumName{28, "cpap"},
    EnumName{29, "dec-ppl"},
    EnumName{30, "simple-text"},
    EnumName{31, "npap"},
    EnumName{32, "doc"},
    EnumName{33, "im-press"},
    EnumName{34, "pinwriter"},
    EnumName{35, "npdl"},
    EnumName{36, "nec201-pl"},
    EnumName{37, "automatic"},
    EnumName{38, "pages"},
    EnumName{39, "lips"},
    EnumName{40, "tiff"},
    EnumName{41, "diagnostic"},
    EnumName{42, "ps-printer"},
    EnumName{43, "ca-psl"},
    EnumName{44, "excl"},
    EnumName{45, "lcds"},
    EnumName{46, "xes"},
    EnumName{47, "pclxl"},
    EnumName{48, "art"},
    EnumName{49, "tipsi"},
    EnumName{50, "prescribe"},
    EnumName{51, "line-printer"},
    EnumName{52, "idp"},
    EnumName{53, "xjcl"},
    EnumName{54, "pdf"},
    EnumName{55, "rpdl"},
    EnumName{56, "intermec-ipl"},
    EnumName{57, "ubi-fingerprint"},
    EnumName{58, "ubi-direct-protocol"},
    EnumName{59, "fujitsu"},
    EnumName{60, "cgm"},
    EnumName{61, "jpeg"},
    EnumName{62, "cals1"},
    EnumName{63, "cals2"},
    EnumName{64, "nirs"},
    EnumName{65, "c4"},
    EnumName{66, "xps"},
    EnumName{67, "open-xps"},
    EnumName{68, "jdf"},
    EnumName{69, "jmf"},
    EnumName{70, "ppml"},
    EnumName{71, "xhtml-print"},
    EnumName{72, "pd-fis"},
    EnumName{73, "pdf13"},
    EnumName{74, "pdf14"},
    EnumName{75, "pdf15"},
    EnumName{76, "pdf16"},
    EnumName{77, "pdf17"},
    EnumName{78, "ps2"},
    EnumName{79, "ps3"},
    EnumName{80, "pcl3"},
    EnumName{81, "pcl3-gui"},
    EnumName{82, "pcl5e"},
    EnumName{83, "pcl5c"},
    EnumName{84, "pwg-raster"},
    EnumName{85, "apple-raster"},
};

}  // namespace

template <>
std::span<const EnumName> listed<ChannelType>() {
  return kChannelType;
}

template <>
std::span<const EnumName> listed<ChannelState>() {
  return kChannelState;
}

template <>
std::span<const EnumName> listed<LangFamily>() {
  return kLangFamily;
}

}  // namespace frisket::model
